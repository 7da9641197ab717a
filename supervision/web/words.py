"""The trade's words, as each page explains those that it uses. Their meanings are common practice, no published source."""

from __future__ import annotations

from supervision.rules.sentence import say, say_as

#: Each word with its meaning.
WORDS: dict[str, str] = {
    say_as("trade word", "usage"): say(
        "One placement of music in a cut: where it plays, how it is used, and which song it uses."
    ),
    say_as("trade word", "cue number"): say("Reel and order, such as 2M14: the fourteenth music of the second reel."),
    say_as("trade word", "source"): say("Music that is heard in the scene: a radio, a band, somebody who sings."),
    say_as("trade word", "score"): say("Music that is put under the scene, which nobody in it hears."),
    say_as("trade word", "origin"): say(
        "Where music comes from: pre-existing, from a library, commissioned for this programme, or owned already."
    ),
    say_as("trade word", "code"): say(
        "The letters of American cue sheets: B background or V visual, I instrumental or V vocal; MT and ET for themes."
    ),
    say_as("trade word", "timecode"): say(
        "Hours, minutes, seconds and frames of a picture. Drop-frame counting skips labels, never frames."
    ),
    say_as("trade word", "cut"): say("One version of an episode's edit. In a locked cut no timing changes any more."),
    say_as("trade word", "estimate"): say("What a side is thought to cost before anybody was asked."),
    say_as("trade word", "sync side"): say("The composition: who wrote it and who publishes it."),
    say_as("trade word", "master side"): say("The recording: who owns what was recorded."),
    say_as("trade word", "holder"): say(
        "Whoever owns or administers a share of a side in a territory, and so has to be asked."
    ),
    say_as("trade word", "clearance"): say("The matter of getting one holder's permission for one usage's side."),
    say_as("trade word", "stage"): say(
        "How far a clearance is: draft, requested, quoted, approved, licensed; or denied, or not needed. "
        "A side stands where its weakest holder stands."
    ),
    say_as("trade word", "quote"): say("A fee that a holder asks, for its own share or on the basis of 100 %."),
    say_as("trade word", "payable"): say("What a quote comes to for the holder's own share."),
    say_as("trade word", "most favoured nations"): say(
        "A holder's condition that nobody it names gets a better rate; who is raised gets the difference."
    ),
    say_as("trade word", "licence"): say("A signed permission. Each grant in it is media × territory × term."),
    say_as("trade word", "grant"): say("What a licence gives: these media, in this territory, from this day to that."),
    say_as("trade word", "option"): say("A further grant for a further fee, to be taken up until its last day."),
    say_as("trade word", "term"): say("From when to when a grant holds. Without an end it holds in perpetuity."),
    say_as("trade word", "territory"): say("Where a grant holds: countries, written as groups with what is left out."),
    say_as("trade word", "release plan"): say("In which media, where and when the programme will be exploited."),
    say_as("trade word", "gap"): say(
        "A part of the release plan in which some usage's side has less than 100 % of its shares granted."
    ),
    say_as("trade word", "proof"): say(
        "The release plan held against everything that was granted, day by day and country by country."
    ),
    say_as("trade word", "budget"): say("What may be spent on a side. It is held against what is approved."),
    say_as("trade word", "forecast"): say("What is committed, and what is open times how likely it is."),
    say_as("trade word", "cue sheet"): say(
        "What societies get: every usage with its writers, publishers and length, so that they are paid."
    ),
    say_as("trade word", "revision"): say(
        "A cue sheet as it was issued. It never changes; a correction is the next revision."
    ),
    say_as("trade word", "profile"): say(
        "How one society or broadcaster wants its cue sheets: columns, codes, how shares are counted."
    ),
    say_as("trade word", "credit"): say(
        "The words by which a song and its holders are named at the end of the programme."
    ),
    say_as("trade word", "label copy"): say(
        "What is printed about recordings: titles, writers, ISRC, and whose ℗ and © they are."
    ),
    say_as("trade word", "work"): say("A composition, with its writers, publishers and their shares."),
    say_as("trade word", "recording"): say("A work as somebody played it, with its artist and its owners."),
    say_as("trade word", "performance share"): say(
        "A party's part of what is collected for performances. Writers and publishers together are 100 %."
    ),
    say_as("trade word", "control"): say(
        "The part of a work that a party may license for pictures. Publishers' control together is 100 %."
    ),
    say_as("trade word", "ISWC"): say("The number of a composition (ISO 15707)."),
    say_as("trade word", "ISRC"): say("The number of a recording (ISO 3901)."),
    say_as("trade word", "IPI name number"): say("The number under which societies know a writer or publisher."),
    say_as("trade word", "society"): say("The body that collects for a writer or publisher."),
    say_as("trade word", "library agreement"): say(
        "A licence for everything in a music library, so that single tracks need not be asked for."
    ),
    say_as("trade word", "first broadcast"): say("The day from which everything has to be cleared."),
}

_LOG = ("usage", "cue number", "source", "score", "origin", "code", "timecode", "cut", "estimate")
_CLEARANCE = ("clearance", "holder", "sync side", "master side", "stage", "quote", "payable", "most favoured nations")
_LICENCE = ("licence", "grant", "term", "territory", "option")
_MONEY = ("estimate", "quote", "payable", "budget", "sync side", "master side")
_PROOF = ("proof", "release plan", "gap", "grant", "option", "term", "territory")
_CUTS = ("cut", "timecode", "usage", "first broadcast")
_SHEET = ("cue sheet", "revision", "profile", "code", "performance share", "society")
_CREDITS = ("credit", "label copy", "ISRC", "cut")
_WORK = ("work", "performance share", "control", "ISWC", "IPI name number", "society")
_RECORDING = ("recording", "master side", "ISRC", "work")

#: The words that a page explains, by the name of its route.
PAGES: dict[str, tuple[str, ...]] = {
    "home": ("first broadcast", "clearance", "quote", "option", "cue sheet", "cut"),
    "deadlines": ("quote", "option", "grant", "cue sheet", "first broadcast"),
    "expiring": ("grant", "term", "option", "release plan"),
    "production": ("first broadcast", "cut", "usage"),
    "season": ("source", "score", "origin", "cut", "usage"),
    "season-board": ("sync side", "master side", "holder", "stage", "estimate"),
    **dict.fromkeys(("season-money", "episode-money", "season-budget", "production-rates"), _MONEY),
    **dict.fromkeys(("season-forecast", "episode-forecast", "episode-what-if"), ("forecast", *_MONEY)),
    **dict.fromkeys(
        ("season-release-plan", "episode-release-plan", "window-edit"), ("release plan", "term", "territory")
    ),
    **dict.fromkeys(("season-credits", "episode-credits", "credit-term"), _CREDITS),
    **dict.fromkeys(("episode", "episode-log", "usage", "usages-paste"), _LOG),
    **dict.fromkeys(("shortlist", "candidate-edit"), ("usage", "recording", "estimate")),
    **dict.fromkeys(("episode-clearances", "clearance"), (*_CLEARANCE, *_LICENCE)),
    **dict.fromkeys(("episode-letters", "letter", "production-asks"), ("clearance", "holder", "quote", *_LICENCE)),
    **dict.fromkeys(("production-agreements", "agreement-edit"), ("library agreement", *_LICENCE)),
    "episode-coverage": _PROOF,
    **dict.fromkeys(("episode-cue-sheet", "cue-sheet-revision", "cue-sheet-difference", "season-cue-sheets"), _SHEET),
    **dict.fromkeys(("episode-cuts", "episode-recut", "episode-imports", "import", "import-reading"), _CUTS),
    **dict.fromkeys(("episode-new", "episode-edit"), _CUTS),
    **dict.fromkeys(("work-list", "work", "work-new", "work-edit"), _WORK),
    **dict.fromkeys(("recording-list", "recording", "recording-new", "recording-edit"), _RECORDING),
    **dict.fromkeys(("party-list", "party", "party-new", "party-edit"), ("holder", "IPI name number", "society")),
    "catalogue": ("work", "recording", "ISWC", "ISRC", "IPI name number"),
}


def words_of(page: str) -> list[tuple[str, str]]:
    """The words that a page explains, each with its meaning; none for a page that uses no trade words."""
    return [_SHOWN[word] for word in PAGES.get(page, ())]


# By the plain word: what a page shows is the word that can be told.
_SHOWN = {word: (word, meaning) for word, meaning in WORDS.items()}
