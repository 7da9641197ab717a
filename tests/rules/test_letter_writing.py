"""What reminders, confirmations and offers say, in both languages.

The contents of letters are ``common practice, no published source`` (see test_letter.py); what a confirmation restates
follows the notes on the trade's audit artefact: amounts, media, territory, term, conditions, credit, countersignature.
"""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from supervision.rules.clearance import Side
from supervision.rules.fees import Basis
from supervision.rules.frozen import from_plain, to_plain
from supervision.rules.letter import FirstLetter, LetterContent, LetterKind, Offer, Portion
from supervision.rules.letter_writing import how_used, write_letter
from supervision.rules.money import Money
from supervision.rules.usage import Facets, Vocal
from tests.factories.letters import accepted_terms, letter_facts, song, song_use

TODAY = date(2026, 11, 25)
FIRST = FirstLetter(reference="WEIR-101/S-0001", dated=date(2026, 11, 1))


def written(*songs, rights=None, **more):
    facts = letter_facts(*songs, **more)
    return write_letter(
        replace(facts, rights=replace(facts.rights, **(rights or {}))), reference="WEIR-101/S-0002", dated=TODAY
    )


def offered(minor=150_000):
    return replace(song_use(), offers=(Offer(amount=Money(minor, "USD")),))


def test_french_letter_is_french_in_every_sentence():
    letter = written(language="fr")
    assert letter.heading == "Synchronisation\N{NO-BREAK SPACE}: demande de devis"
    assert letter.salutation == "Bonjour Tove Alder,"
    assert letter.answer == "Nous vous serions reconnaissants de votre réponse avant la fin du 9 décembre 2026."
    assert letter.rights.territory == "monde entier"
    assert letter.rights.term == "à perpétuité"
    assert letter.rights.media == "tous médias connus ou à venir, hors exploitation en salles"
    assert letter.rights.options == (
        "exploitation en salles",
        "publicité hors contexte",
        "album de la bande originale",
    )


def test_rights_that_a_person_worded_stay_as_typed():
    letter = written(language="fr", rights={"territory": "Benelux, but not for cinemas"})
    assert letter.rights.territory == "Benelux, but not for cinemas"


def test_letter_offers_what_is_offered_and_asks_for_the_rest():
    some = written(song(uses=[offered(), song_use("2M1")]))
    assert some.fee == (
        "We offer the fees stated beside the uses, for 100 % of the composition and payable pro rata. Where none is "
        "stated, please quote on the same basis."
    )
    all_of_them = written(song(uses=[offered()]), side=Side.MASTER, rights={"basis": Basis.SHARE})
    assert all_of_them.fee == "We offer the fees stated beside the uses, for your share of the recording."
    assert (some.tells_fees, written().tells_fees) == (True, False)


@pytest.mark.parametrize(
    ("basis", "words"),
    [
        (Basis.FULL, "Please quote your fee for each use, stated for 100 % of the composition."),
        (Basis.SHARE, "Please quote your fee for each use, stated for your share of the composition."),
    ],
)
def test_basis_is_asked_for_where_it_is_chosen(basis, words):
    assert written(rights={"basis": basis}).fee == words


def test_most_favoured_nations_is_told_only_where_it_is_offered():
    assert "Most favoured nations is offered" not in written().fee
    assert written(rights={"favoured_offered": True}).fee.endswith(
        "Most favoured nations is offered: pro rata, no other licensor of either side of the music will be paid a better "
        "rate for the same use."
    )


@pytest.mark.parametrize(("language", "day"), [("en", "On 1 November 2026"), ("fr", "Le 1er novembre 2026")])
@pytest.mark.parametrize("side", Side)
def test_chaser_quotes_our_reference_and_the_day_of_the_first_letter(side, language, day):
    letter = written(kind=LetterKind.CHASER, first=FIRST, side=side, language=language)
    assert letter.opening.startswith(day)
    assert "WEIR-101/S-0001" in letter.opening
    assert letter.countersign == ()
    assert letter.first == FIRST


@pytest.mark.parametrize("side", Side)
def test_confirmation_is_to_be_countersigned_and_asks_nothing(side):
    letter = written(kind=LetterKind.CONFIRMATION, side=side)
    assert letter.questions == ()
    assert letter.answer == "Please confirm by 9 December 2026 that the above is accurate."
    assert letter.countersign == (
        "Please confirm that the above is accurate by signing below and returning a copy of this letter.",
        "Confirmed for Reed Harbour Music",
        "Signature",
        "Name and position",
        "Date",
    )
    assert "grants no rights by itself" in letter.caution


def test_confirmation_proposes_the_customary_credit():
    ours = song(writers=("Ida Reed", "Bo Moss"), portions=(Portion(name="Silt Songs", share=Decimal(50)),))
    sync = written(ours, kind=LetterKind.CONFIRMATION)
    assert sync.songs[0].credit == "“Evening Tide” · Written by Ida Reed, Bo Moss · Published by Silt Songs"
    tape = song(artist="The Lockkeepers", label="Weirside Records")
    master = written(tape, kind=LetterKind.CONFIRMATION, side=Side.MASTER)
    assert master.songs[0].credit == "“Evening Tide” · Performed by The Lockkeepers · Courtesy of Weirside Records"
    bare = written(kind=LetterKind.CONFIRMATION, side=Side.MASTER)
    assert bare.songs[0].credit == "“Evening Tide” · Courtesy of Reed Harbour Music"
    assert written(replace(tape, credit="As agreed"), kind=LetterKind.CONFIRMATION).songs[0].credit == "As agreed"
    assert written(tape).songs[0].credit == ""


@pytest.mark.parametrize("kind", LetterKind)
@pytest.mark.parametrize("language", ["en", "fr"])
def test_every_kind_is_the_same_after_it_was_frozen(kind, language):
    uses = [replace(song_use(), accepted=(accepted_terms(),))]
    letter = written(song(uses=uses), kind=kind, first=FIRST, language=language)
    assert from_plain(LetterContent, to_plain(letter)) == letter


def test_letter_frozen_before_there_were_kinds_can_be_read():
    plain = to_plain(written())
    for later in ("kind", "first", "countersign"):
        del plain[later]
    for later in ("options", "basis", "favoured_offered", "remarks"):
        del plain["rights"][later]
    for later in ("offers", "accepted"):
        del plain["songs"][0]["uses"][0][later]
    del plain["songs"][0]["credit"]
    old = from_plain(LetterContent, plain)
    assert (old.kind, old.rights.options, old.tells_fees) == (LetterKind.REQUEST, (), False)


def test_facts_without_fees_tell_no_amount():
    facts = letter_facts(song(uses=[replace(offered(), accepted=(accepted_terms(),))]))
    assert facts.tells_fees
    assert not facts.without_fees.tells_fees
    assert facts.without_fees.songs[0].uses == (song_use(),)


def test_use_is_told_in_french_too():
    assert how_used(Facets(vocal=Vocal.VOCAL), "fr") == "musique de fond, avec voix"


def test_kinds_have_labels():
    assert [kind.label for kind in LetterKind] == ["Quote request", "Reminder", "Confirmation"]
