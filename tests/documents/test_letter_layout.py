"""What a letter shows of fees and accepted terms, in both languages."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from supervision.documents.letter_layout import laid_out
from supervision.rules.fees import Basis
from supervision.rules.letter import AcceptedOption, LetterKind, Offer, Portion
from supervision.rules.letter_writing import write_letter
from supervision.rules.money import Money
from tests.factories.letters import accepted_terms, letter_facts, song, song_use


def parts(*uses, kind=LetterKind.CONFIRMATION, **more):
    letter = write_letter(letter_facts(song(uses=uses), kind=kind, **more), reference="R-1", dated=date(2026, 11, 25))
    return {part.name: part for part in laid_out(letter).parts}


def confirmed(cue="1M3", **terms):
    return replace(song_use(cue), accepted=(accepted_terms(**terms),))


def fee_of(part):
    return [row[4] for row in part.rows]


@pytest.mark.parametrize(
    ("terms", "english", "french"),
    [
        ({}, "USD 2,500.00 (50 % of USD 5,000.00)", "2 500,00 USD (50 % de 5 000,00 USD)"),
        ({"basis": Basis.SHARE}, "USD 2,500.00 (for your 50 %)", "2 500,00 USD (pour vos 50 %)"),
        ({"share": Decimal(100)}, "USD 2,500.00", "2 500,00 USD"),
        ({"licence": "RH-14"}, "USD 2,500.00", "2 500,00 USD"),
        (
            {"name": "Silt Songs"},
            "USD 2,500.00 (50 % of USD 5,000.00) for Silt Songs",
            "2 500,00 USD (50 % de 5 000,00 USD) pour Silt Songs",
        ),
    ],
)
def test_fee_is_what_is_payable_and_of_what_it_is_a_share(terms, english, french):
    assert fee_of(parts(confirmed(**terms))["song"]) == [english]
    (told,) = fee_of(parts(confirmed(**terms), language="fr")["song"])
    assert " ".join(told.split()) == french


def test_offers_stand_beside_the_uses_and_none_asks_for_a_quote():
    offers = (Offer(amount=Money(10_000, "EUR"), name="Silt"), Offer(amount=Money(5_000, "EUR"), name="Fen"))
    shown = parts(replace(song_use(), offers=offers), song_use("2M1"), kind=LetterKind.REQUEST)["song"]
    assert shown.head[4] == "Our offer"
    assert fee_of(shown) == ["EUR 100.00 for Silt; EUR 50.00 for Fen", "please quote"]


def test_letter_without_amounts_has_no_column_for_them():
    assert len(parts(song_use(), kind=LetterKind.REQUEST)["song"].head) == 4


def test_accepted_terms_are_told_once_for_all_uses_that_share_them():
    option = AcceptedOption(name="Theatrical", media="theatrical", territory="World", fee=Money(300_000, "USD"))
    options = (
        option,
        replace(option, until=date(2027, 12, 31)),
        replace(option, exercised=date(2027, 3, 1)),
    )
    told = {"favoured": "yes", "conditions": ("not with violence", "no trailer"), "options": options}
    terms = parts(confirmed(**told), confirmed("2M1", quote=8, **told))["terms"]
    assert (terms.title, dict(terms.facts)) == (
        "Terms",
        {
            "Quotation": "USD 5,000.00, received on 2 November 2026",
            "Most favoured nations": "yes",
            "Conditions": "not with violence; no trailer",
            "Options": (
                "Theatrical: theatrical, World, USD 3,000.00; "
                "Theatrical: theatrical, World, USD 3,000.00, exercisable until 31 December 2027; "
                "Theatrical: theatrical, World, USD 3,000.00, exercised on 1 March 2027"
            ),
        },
    )


def test_terms_that_differ_name_their_cues():
    letter = write_letter(
        letter_facts(
            song(uses=[confirmed(), confirmed("2M1", licence="RH-14", granted=("all media",)), confirmed("")]),
            kind=LetterKind.CONFIRMATION,
        ),
        reference="R-1",
        dated=date(2026, 11, 25),
    )
    assert [part.title for part in laid_out(letter).parts if part.name == "terms"] == [
        "Terms of 1M3, –",
        "Terms of 2M1",
    ]


def test_parts_stand_in_the_order_of_reading():
    assert list(parts(song_use(), kind=LetterKind.REQUEST)) == [
        "opening",
        "song",
        "rights",
        "options",
        "fee",
        "answer",
        "caution",
        "closing",
    ]
    assert list(parts(confirmed()))[-1] == "countersign"


def test_share_in_a_territory_is_told_in_the_language():
    abroad = song(portions=(Portion(name="", share=Decimal("33.34"), territory="World"),))
    letter = write_letter(letter_facts(abroad, language="fr"), reference="", dated=date(2026, 11, 25))
    facts = dict(laid_out(letter).parts[1].facts)
    assert " ".join(facts["Votre part"].split()) == "33,34 % (monde entier)"
    assert laid_out(letter).draft == laid_out(letter).mark == "Projet, non envoyé"
