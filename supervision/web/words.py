"""The trade's words, as each page explains those that it uses. Their meanings are common practice, no published source."""

from __future__ import annotations

WORDS = {
    "usage": "One placement of music in a cut: where it plays, how it is used, and which song it uses.",
    "cue number": "Reel and order, such as 2M14: the fourteenth music of the second reel.",
    "source": "Music that is heard in the scene: a radio, a band, somebody who sings.",
    "score": "Music that is put under the scene, which nobody in it hears.",
    "origin": "Where music comes from: pre-existing, from a library, commissioned for this programme, or owned already.",
    "code": "The letters of American cue sheets: B background or V visual, I instrumental or V vocal; MT and ET for themes.",
    "timecode": "Hours, minutes, seconds and frames of a picture. Drop-frame counting skips labels, never frames.",
    "cut": "One version of an episode's edit. In a locked cut no timing changes any more.",
    "estimate": "What a side is thought to cost before anybody was asked.",
    "sync side": "The composition: who wrote it and who publishes it.",
    "master side": "The recording: who owns what was recorded.",
    "holder": "Whoever owns or administers a share of a side in a territory, and so has to be asked.",
    "clearance": "The matter of getting one holder's permission for one usage's side.",
    "stage": "How far a clearance is: draft, requested, quoted, approved, licensed; or denied, or not needed. A side stands where "
    "its weakest holder stands.",
    "quote": "A fee that a holder asks, for its own share or on the basis of 100 %.",
    "payable": "What a quote comes to for the holder's own share.",
    "most favoured nations": "A holder's condition that nobody it names gets a better rate; who is raised gets the difference.",
    "licence": "A signed permission. Each grant in it is media × territory × term.",
    "grant": "What a licence gives: these media, in this territory, from this day to that.",
    "option": "A further grant for a further fee, to be taken up until its last day.",
    "term": "From when to when a grant holds. Without an end it holds in perpetuity.",
    "territory": "Where a grant holds: countries, written as groups with what is left out.",
    "release plan": "In which media, where and when the programme will be exploited.",
    "gap": "A part of the release plan in which some usage's side has less than 100 % of its shares granted.",
    "proof": "The release plan held against everything that was granted, day by day and country by country.",
    "budget": "What may be spent on a side. It is held against what is approved.",
    "forecast": "What is committed, and what is open times how likely it is.",
    "cue sheet": "What societies get: every usage with its writers, publishers and length, so that they are paid.",
    "revision": "A cue sheet as it was issued. It never changes; a correction is the next revision.",
    "profile": "How one society or broadcaster wants its cue sheets: columns, codes, how shares are counted.",
    "credit": "The words by which a song and its holders are named at the end of the programme.",
    "label copy": "What is printed about recordings: titles, writers, ISRC, and whose ℗ and © they are.",
    "work": "A composition, with its writers, publishers and their shares.",
    "recording": "A work as somebody played it, with its artist and its owners.",
    "performance share": "A party's part of what is collected for performances. Writers and publishers together are 100 %.",
    "control": "The part of a work that a party may license for pictures. Publishers' control together is 100 %.",
    "ISWC": "The number of a composition (ISO 15707).",
    "ISRC": "The number of a recording (ISO 3901).",
    "IPI name number": "The number under which societies know a writer or publisher.",
    "society": "The body that collects for a writer or publisher.",
    "library agreement": "A licence for everything in a music library, so that single tracks need not be asked for.",
    "first broadcast": "The day from which everything has to be cleared.",
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
    return [(word, WORDS[word]) for word in PAGES.get(page, ())]
