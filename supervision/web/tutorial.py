"""The first ten minutes on the demo, as data: the page shows these deeds, and a browser test does them.

A step has a heading, a sentence that says why, and deeds. What a deed names is what stands on the screen: the page of the
tutorial cannot fall behind the screens without failing that test.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from supervision.rules.sentence import counted, figures, joined, say, say_as

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
        say("Find your episode"),
        say("A series has seasons, a season has episodes. The line over the title always says where you are."),
        (
            Open(say("Productions")),
            Open("Marram"),
            Open(say("Season {number}", number=1)),
            See(say("Music through the season")),
            Open("A Chart of Known Wrecks"),
            See(say("Source is heard in the scene, score is put under it.")),
        ),
    ),
    Step(
        say("Read the new cut"),
        say(
            "The editors have cut the episode again. Their edit list knows the timings, so nobody types them. Nothing changes until you accept."
        ),
        (
            Open(say("Read a cut")),
            Attach(say("File"), EXAMPLE),
            Press(say("Read it")),
            See(
                say(
                    "{parts}.",
                    parts=joined(
                        [
                            counted(11, "{number} proposed usage", "{number} proposed usages"),
                            counted(2, "{number} to look at", "{number} to look at"),
                        ],
                        between=", ",
                    ),
                )
            ),
            See(say("in the file: {clip}", clip="SAX PLAYER TEMP v1.wav")),
        ),
    ),
    Step(
        say("See what it does to rights and money"),
        say(
            "Both cuts stand one above the other. A song that grew may need a new answer; one that went may give money back. Untick a change, and that usage stays where it was."
        ),
        (
            Press(say("Keep, and see the changes")),
            See(say("It is {long} long now; it was asked for up to {before}.", long="1:33", before="1:25")),
            Fill(say("Name of the new cut"), "Fine cut 2"),
            Press(say("Accept")),
            See("Fine cut 2"),
        ),
    ),
    Step(
        say("Write down an answer"),
        say(
            "Each recording needs both sides: the composition (sync) and the recording (master), from every holder. Copperline has called: {amount} for all of its side.",
            amount=figures("1,800"),
        ),
        (
            Open(say("Clearances")),
            Open("Copperline Publishing"),
            Fill(say("Amount"), figures("1,800")),
            Press(say("Record the quote")),
            See(figures("1,800.00")),
        ),
    ),
    Step(
        say("Ask whether it may be shown"),
        say("The proof holds every licence against the release plan: medium, country and day. A gap says who lacks."),
        (Open("A Chart of Known Wrecks"), Open(say_as("page", "Proof")), See(say("Not covered"))),
    ),
    Step(
        say("Look at the cue sheet"),
        say(
            "From it writers and publishers are paid. What is wrong stands above it, each with its mend; with errors it does not go out."
        ),
        (Open(say("Cue sheet")), See(say("Before it is issued")), See(say("Total music"))),
    ),
    Step(
        say("Look at the credits"),
        say("Songs in the order in which they are heard. What a licence demands is printed word for word."),
        (Open(say("Credits")), See("Copper Coast Radio")),
    ),
    Step(
        say("Find anything"),
        say("Press / on any page, type a part of a song, a party, an episode or a page, and press Enter."),
        (Fill(say("Find, or do"), "Glasshouse"), Press(say("Find")), See("Glasshouse Heart")),
    ),
)
