"""What is missing or in doubt in end credits, worst first; the credits are printed all the same."""

from __future__ import annotations

from collections.abc import Iterator

from supervision.rules.credit_words import Part, plain
from supervision.rules.credits import CreditFacts, Credits, CreditSong, song_wordings
from supervision.rules.findings import Finding, Level, worst_first
from supervision.rules.sentence import joined, listed, say


def check_credits(credits_: Credits) -> list[Finding]:
    """Everything in doubt, warnings before notes."""
    return worst_first(
        [
            *_whole(credits_.facts),
            *(finding for block in credits_.blocks for finding in _song(block.song)),
            *(finding for block in credits_.blocks for finding in _wordings(block.song)),
            *_too_long(credits_),
        ]
    )


def _warn(code: str, place: str, text: str, mend: str) -> Finding:
    return Finding(Level.WARNING, code, place, text, mend)


def _whole(facts: CreditFacts) -> Iterator[Finding]:
    for cue in facts.unknown:
        yield _warn(
            "song-unknown", cue, say("No song is chosen, so it has no credit."), say("Choose the song in the log.")
        )
    if any(not work.writers for work in facts.score):
        titles = ", ".join(work.title for work in facts.score if not work.writers)
        yield _warn(
            "composer-unknown", titles, say("The composer is not known."), say("Name the writers in the catalogue.")
        )
    if not facts.cut_locked:
        yield Finding(
            Level.NOTE,
            "cut-not-locked",
            facts.cut,
            say("The cut is not locked; songs may still come or go."),
            say("Print the credits again when it is."),
        )


def _song(song: CreditSong) -> Iterator[Finding]:
    if song.uncleared:
        lacking = joined(song.uncleared, between=", ")
        yield _warn(
            "song-uncleared",
            song.title,
            say("Not cleared: {lacking}.", lacking=lacking),
            say("Clear it or take it out of the cut."),
        )
    if not song.works or any(not work.writers for work in song.works):
        yield _warn(
            "writers-unknown", song.title, say("Its writers are not known."), say("Name them in the catalogue.")
        )
    master = song.master
    if master is None:
        return
    if not master.artist:
        yield _warn(
            "performer-unknown",
            song.title,
            say("The performer is not known."),
            say("Name the artist of the recording."),
        )
    if not master.owners and not master.label and not master.public_domain:
        yield _warn(
            "owner-unknown",
            song.title,
            say("Nobody is known to own the recording."),
            say("Name its owners in the catalogue."),
        )


def _wordings(song: CreditSong) -> Iterator[Finding]:
    for required in song.required:
        if required.is_open:
            yield _warn(
                "approval-open",
                song.title,
                say("{holder} approves the credit and has not yet.", holder=required.holder),
                say("Send the block for approval and note who approved it and when."),
            )
    wordings = song_wordings(song)
    for part in (Part.TITLE, Part.WRITERS, Part.PERFORMER):
        stated = {plain(each.parts[part]): each.holders for each in wordings if part in each.parts}
        if len(stated) > 1:
            holders = listed(dict.fromkeys(name for names in stated.values() for name in names))
            yield _warn(
                "wordings-differ",
                song.title,
                say("{holders} say differently {part}. Both are printed.", holders=holders, part=part.label),
                say("Agree on one wording and record it with both licences."),
            )
    if any(Part.WRITERS in each.parts for each in wordings):
        said = plain("\n".join(each.text for each in wordings))
        left = [name.name for work in song.works for name in work.writers if plain(name.name) not in said]
        if left:
            names = ", ".join(dict.fromkeys(left))
            yield Finding(
                Level.NOTE,
                "writer-left-out",
                song.title,
                say("The required wording does not name {names}.", names=names),
                say("Ask the holder whether that is meant."),
            )


def _too_long(credits_: Credits) -> Iterator[Finding]:
    limit = credits_.style.line_length
    printed: list[tuple[str, str]] = [(say("Score"), line) for each in credits_.score for line in each.lines]
    printed += [(block.song.title, line) for block in credits_.blocks for line in block.text]
    for place, line in printed:
        if len(line) > limit:
            yield _warn(
                "line-too-long",
                place,
                say(
                    "“{line}” has {length} characters and cannot be broken at {limit}.",
                    line=line,
                    length=len(line),
                    limit=limit,
                ),
                say("Allow longer lines."),
            )
