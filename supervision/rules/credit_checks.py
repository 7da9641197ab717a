"""What is missing or in doubt in end credits, worst first; the credits are printed all the same."""

from __future__ import annotations

from collections.abc import Iterator

from supervision.rules.credit_words import Part, plain
from supervision.rules.credits import CreditFacts, Credits, CreditSong, song_wordings
from supervision.rules.findings import Finding, Level, worst_first


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
        yield _warn("song-unknown", cue, "No song is chosen, so it has no credit.", "Choose the song in the log.")
    if any(not work.writers for work in facts.score):
        titles = ", ".join(work.title for work in facts.score if not work.writers)
        yield _warn("composer-unknown", titles, "The composer is not known.", "Name the writers in the catalogue.")
    if not facts.cut_locked:
        yield Finding(
            Level.NOTE,
            "cut-not-locked",
            facts.cut,
            "The cut is not locked; songs may still come or go.",
            "Print the credits again when it is.",
        )


def _song(song: CreditSong) -> Iterator[Finding]:
    if song.uncleared:
        lacking = ", ".join(song.uncleared)
        yield _warn("song-uncleared", song.title, f"Not cleared: {lacking}.", "Clear it or take it out of the cut.")
    if not song.works or any(not work.writers for work in song.works):
        yield _warn("writers-unknown", song.title, "Its writers are not known.", "Name them in the catalogue.")
    master = song.master
    if master is None:
        return
    if not master.artist:
        yield _warn("performer-unknown", song.title, "The performer is not known.", "Name the artist of the recording.")
    if not master.owners and not master.label and not master.public_domain:
        yield _warn(
            "owner-unknown", song.title, "Nobody is known to own the recording.", "Name its owners in the catalogue."
        )


def _wordings(song: CreditSong) -> Iterator[Finding]:
    for required in song.required:
        if required.is_open:
            yield _warn(
                "approval-open",
                song.title,
                f"{required.holder} approves the credit and has not yet.",
                "Send the block for approval and note who approved it and when.",
            )
    wordings = song_wordings(song)
    for part in (Part.TITLE, Part.WRITERS, Part.PERFORMER):
        stated = {plain(each.parts[part]): each.holders for each in wordings if part in each.parts}
        if len(stated) > 1:
            holders = " and ".join(dict.fromkeys(name for names in stated.values() for name in names))
            yield _warn(
                "wordings-differ",
                song.title,
                f"{holders} say differently {part.label}. Both are printed.",
                "Agree on one wording and record it with both licences.",
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
                f"The required wording does not name {names}.",
                "Ask the holder whether that is meant.",
            )


def _too_long(credits_: Credits) -> Iterator[Finding]:
    limit = credits_.style.line_length
    printed = [("Score", line) for each in credits_.score for line in each.lines]
    printed += [(block.song.title, line) for block in credits_.blocks for line in block.text]
    for place, line in printed:
        if len(line) > limit:
            yield _warn(
                "line-too-long",
                place,
                f"“{line}” has {len(line)} characters and cannot be broken at {limit}.",
                "Allow longer lines.",
            )
