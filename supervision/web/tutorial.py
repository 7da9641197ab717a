"""The first ten minutes on the demo, as data: the page shows these deeds, and a browser test does them.

A step has a heading, a sentence that says why, and deeds. What a deed names is what stands on the screen: the page of the
tutorial cannot fall behind the screens without failing that test.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

EXAMPLE = "marram-104-fine-cut-2.edl"


@dataclass(frozen=True, slots=True)
class Open:
    """Follow the link of this name."""

    name: str
    kind: ClassVar[str] = "open"


@dataclass(frozen=True, slots=True)
class Press:
    """Press the button of this name."""

    name: str
    kind: ClassVar[str] = "press"


@dataclass(frozen=True, slots=True)
class Fill:
    """Type the value into the field of this label."""

    label: str
    value: str
    kind: ClassVar[str] = "fill"


@dataclass(frozen=True, slots=True)
class Attach:
    """Give the field of this label a file of ``fixtures/examples``."""

    label: str
    file: str
    kind: ClassVar[str] = "attach"


@dataclass(frozen=True, slots=True)
class See:
    """Find these words on the page."""

    text: str
    kind: ClassVar[str] = "see"


TutorialDeed = Open | Press | Fill | Attach | See


@dataclass(frozen=True, slots=True)
class Step:
    """A part of the tutorial: why first, then what to do."""

    heading: str
    why: str
    deeds: tuple[TutorialDeed, ...]


STEPS: tuple[Step, ...] = (
    Step(
        "Find your episode",
        "A series has seasons, a season has episodes. The line over the title always says where you are.",
        (
            Open("Productions"),
            Open("Marram"),
            Open("Season 1"),
            See("Music through the season"),
            Open("A Chart of Known Wrecks"),
            See("Source is heard in the scene"),
        ),
    ),
    Step(
        "Read the new cut",
        "The editors have cut the episode again. Their edit list knows the timings, so nobody types them. Nothing changes until you accept.",
        (
            Open("Read a cut"),
            Attach("File", EXAMPLE),
            Press("Read it"),
            See("11 proposed usages, 2 to look at."),
            See("in the file: SAX PLAYER TEMP v1.wav"),
        ),
    ),
    Step(
        "See what it does to rights and money",
        "Both cuts stand one above the other. A song that grew may need a new answer; one that went may give money back. Untick a change, and that usage stays where it was.",
        (
            Press("Keep, and see the changes"),
            See("It is 1:33 long now; it was asked for up to 1:25."),
            Fill("Name of the new cut", "Fine cut 2"),
            Press("Accept"),
            See("Fine cut 2"),
        ),
    ),
    Step(
        "Write down an answer",
        "Each recording needs both sides: the composition (sync) and the recording (master), from every holder. Copperline has called: 1,800 for all of its side.",
        (
            Open("Clearances"),
            Open("Copperline Publishing"),
            Fill("Amount", "1,800"),
            Press("Record the quote"),
            See("1,800.00"),
        ),
    ),
    Step(
        "Ask whether it may be shown",
        "The proof holds every licence against the release plan: medium, country and day. A gap says who lacks.",
        (Open("A Chart of Known Wrecks"), Open("Proof"), See("Not covered")),
    ),
    Step(
        "Look at the cue sheet",
        "From it writers and publishers are paid. What is wrong stands above it, each with its mend; with errors it does not go out.",
        (Open("Cue sheet"), See("Before it is issued"), See("Total music")),
    ),
    Step(
        "Look at the credits",
        "Songs in the order in which they are heard. What a licence demands is printed word for word.",
        (Open("Credits"), See("Copper Coast Radio")),
    ),
    Step(
        "Find anything",
        "Press / on any page, type a part of a song, a party, an episode or a page, and press Enter.",
        (Fill("Find", "Glasshouse"), Press("Find"), See("Glasshouse Heart")),
    ),
)
