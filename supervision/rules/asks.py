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


def broken(asked: Asked, now: Asked) -> list[str]:
    """What the usage now asks beyond the question, one sentence each; none where the answer still fits."""
    reasons = []
    if now.seconds is not None and (asked.seconds is None or now.seconds > asked.seconds):
        before = "without a length" if asked.seconds is None else f"for up to {clock(asked.seconds)}"
        reasons.append(f"It is {clock(now.seconds)} long now; it was asked {before}.")
    if now.uses > asked.uses:
        reasons.append(f"The song is used {now.uses} times in the episode now; it was asked for {asked.uses}.")
    if now.code != asked.code:
        reasons.append(f"It is used as {now.code} now; it was asked as {asked.code}.")
    if fold(now.scene) != fold(asked.scene):
        was = f"“{asked.scene}”" if asked.scene else "no scene"
        reasons.append(f"The scene is “{now.scene}” now; it was asked for {was}.")
    return reasons
