"""What a holder was asked for, and what of it a changed usage breaks.

A quote answers a question: this long, under this scene, used this way, so often. ``broken`` compares the question with
the usage as it stands now. Asking for less than was quoted breaks nothing; asking for more, or for something else,
does. ``common practice, no published source``
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

from supervision.rules.durations import clock
from supervision.rules.search_text import fold
from supervision.rules.sentence import say
from supervision.rules.usage import Facets, Function, ThemePosition, Vocal, sheet_code


@dataclass(frozen=True, slots=True)
class Asked:
    """One question: ``seconds`` shown (``None``: not placed yet), ``uses`` of the song in the episode, the scene, the use."""

    seconds: int | None
    uses: int
    scene: str
    function: str
    theme_position: str
    seen: bool
    vocal: str

    def as_json(self) -> dict[str, Any]:
        """As the clearance keeps it."""
        return asdict(self)

    @classmethod
    def of(cls, facets: Facets, *, seconds: int | None, uses: int, scene: str) -> Asked:
        """The question that a usage asks as it stands."""
        return cls(
            seconds, uses, scene, facets.function.value, facets.theme_position.value, facets.seen, facets.vocal.value
        )

    @classmethod
    def from_json(cls, kept: Mapping[str, Any]) -> Asked:
        """The question that a clearance kept."""
        return cls(**kept)

    @property
    def code(self) -> str:
        """The use as a cue sheet's short code."""
        facets = Facets(Function(self.function), ThemePosition(self.theme_position), self.seen, Vocal(self.vocal))
        return sheet_code(facets)


BROKEN = (
    say("It is {long} long now; it was asked without a length.", long=""),
    say("It is {long} long now; it was asked for up to {before}.", long="", before=""),
    say("The song is used {now} times in the episode now; it was asked for {before}.", now="", before=""),
    say("It is used as {now} now; it was asked as {before}.", now="", before=""),
    say("The scene is “{now}” now; it was asked for no scene.", now=""),
    say("The scene is “{now}” now; it was asked for “{before}”.", now="", before=""),
)
"""The sentences of ``broken``, by which ``noted`` knows them again."""


def broken(asked: Asked, now: Asked) -> list[str]:
    """What the usage now asks beyond the question, one sentence each; none where the answer still fits."""
    reasons: list[str] = []
    if now.seconds is not None and (asked.seconds is None or now.seconds > asked.seconds):
        long = clock(now.seconds)
        reasons.append(
            say("It is {long} long now; it was asked without a length.", long=long)
            if asked.seconds is None
            else say("It is {long} long now; it was asked for up to {before}.", long=long, before=clock(asked.seconds))
        )
    if now.uses > asked.uses:
        reasons.append(
            say(
                "The song is used {now} times in the episode now; it was asked for {before}.",
                now=now.uses,
                before=asked.uses,
            )
        )
    if now.code != asked.code:
        reasons.append(say("It is used as {now} now; it was asked as {before}.", now=now.code, before=asked.code))
    if fold(now.scene) != fold(asked.scene):
        reasons.append(
            say("The scene is “{now}” now; it was asked for “{before}”.", now=now.scene, before=asked.scene)
            if asked.scene
            else say("The scene is “{now}” now; it was asked for no scene.", now=now.scene)
        )
    return reasons
