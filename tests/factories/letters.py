"""Facts of letters as plain values, for the tests that need no rows."""

from datetime import date
from decimal import Decimal

from supervision.rules.clearance import Side
from supervision.rules.fees import Basis
from supervision.rules.letter import (
    AcceptedTerms,
    Addressee,
    LetterFacts,
    Letterhead,
    LetterSong,
    Portion,
    Programme,
    SongUse,
    usual_rights,
)
from supervision.rules.money import Money

LETTERHEAD = Letterhead(
    company="Weir Pictures",
    address="12 Lock Lane\nBargeford",
    contact_name="Ida Person",
    email="music@weir.example",
    phone="+44 1632 960001",
)
ADDRESSEE = Addressee(
    name="Reed Harbour Music",
    contact="Tove Alder",
    department="Film and television licensing",
    address="4 Quay Street\nPort Reed",
    email="licensing@reed.example",
)
PROGRAMME = Programme(
    production="The Weir",
    kind="Series",
    company="Weir Pictures",
    episode="Season 1, Episode 101 “Low Water”",
    network="Channel Nine and a Half",
    first_broadcast=date(2027, 1, 9),
    synopsis="Two sisters keep a lock on a river that is being closed.",
)


def song_use(cue_number="1M3", scene="Ida rows across the weir at dusk.", how="background, with vocals", seconds=45):
    return SongUse(cue_number=cue_number, scene=scene, how=how, up_to_seconds=seconds)


def song(title="Evening Tide", share="50", uses=None, **more):
    fields = {"portions": (Portion(name="", share=Decimal(share)),)} | more
    return LetterSong(title=title, uses=tuple(uses or [song_use()]), **fields)


def letter_facts(*songs, side=Side.SYNC, **more):
    fields = {"answer_by": date(2026, 12, 9), "addressee": ADDRESSEE} | more
    return LetterFacts(
        side=side,
        letterhead=LETTERHEAD,
        programme=PROGRAMME,
        songs=songs or (song(),),
        rights=usual_rights("series"),
        **fields,
    )


def accepted_terms(**more):
    """USD 5,000 for 100 %, of which half is payable."""
    fields = {
        "quote": 7,
        "amount": Money(500_000, "USD"),
        "basis": Basis.FULL,
        "share": Decimal(50),
        "payable": Money(250_000, "USD"),
        "received": date(2026, 11, 2),
    } | more
    return AcceptedTerms(**fields)
