"""Which confirmations are to be written, and what they restate."""

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from supervision.actions.letters import send_letters
from supervision.models import Clearance, Grant, Licence, Option, QuoteCondition
from supervision.queries.confirmations import open_confirmations
from supervision.rules.clearance import Stage
from supervision.rules.fees import Basis
from supervision.rules.letter import AcceptedOption, AcceptedTerms, FirstLetter, LetterKind
from supervision.rules.money import Money
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.catalogue import PartyFactory
from tests.factories.clearance import QuoteFactory
from tests.factories.paper import episode_with_music, more_music

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)


@pytest.fixture
def episode():
    return episode_with_music()


@pytest.fixture
def supervisor(episode):
    return MembershipFactory(production=episode.season.production, role="supervisor").user


def accept(clearance, stage=Stage.APPROVED, **quoted):
    quote = QuoteFactory(clearance=clearance, **quoted)
    Clearance.objects.filter(pk=clearance.pk).update(stage=stage, standing_quote=quote)
    return quote


def clearances(side="sync"):
    return list(Clearance.objects.filter(side=side).order_by("usage__cue_number"))


def accepted_in(letter):
    return [terms for song in letter.facts.songs for use in song.uses for terms in use.accepted]


def test_approved_and_licensed_are_confirmed_and_nothing_else(episode):
    first, second = clearances()
    assert open_confirmations(episode) == []
    accept(first)
    accept(second, Stage.QUOTED)
    assert [letter.clearances for letter in open_confirmations(episode)] == [(first,)]
    Clearance.objects.filter(pk=second.pk).update(stage=Stage.LICENSED)
    assert [set(letter.clearances) for letter in open_confirmations(episode)] == [{first, second}]


def test_terms_of_the_accepted_quote_are_restated(episode):
    first, _ = clearances()
    Clearance.objects.filter(pk=first.pk).update(on_behalf_of=PartyFactory(name="Silt Songs"), share="33.34")
    quote = accept(
        first,
        payable_minor=166_700,
        favoured=True,
        favoured_with="song",
        conditions="Not in a trailer.",
    )
    QuoteCondition.objects.create(quote=quote, kind="artist", met_on=date(2026, 11, 9))
    QuoteCondition.objects.create(quote=quote, kind="violence")
    QuoteCondition.objects.create(quote=quote, kind="other", text="Not beside football")
    Option.objects.create(
        quote=quote,
        kind="theatrical",
        media="theatrical",
        starts_on=date(2027, 1, 1),
        amount_minor=900_000,
        currency="USD",
        payable_minor=300_000,
        exercisable_until=date(2027, 12, 31),
    )
    (letter,) = open_confirmations(episode)
    assert accepted_in(letter) == [
        AcceptedTerms(
            quote=quote.pk,
            amount=Money(500_000, "USD"),
            basis=Basis.FULL,
            share=Decimal("33.34"),
            payable=Money(166_700, "USD"),
            received=date(2026, 11, 2),
            name="Silt Songs",
            favoured="with both sides of the song",
            conditions=(
                "Not in a trailer.",
                "approval by the artist (given on 9 November 2026)",
                "not with violence",
                "Not beside football",
            ),
            options=(
                AcceptedOption(
                    name="Theatrical",
                    media="theatrical",
                    territory="World",
                    fee=Money(300_000, "USD"),
                    until=date(2027, 12, 31),
                ),
            ),
        )
    ]
    assert letter.facts.kind is LetterKind.CONFIRMATION
    assert letter.facts.tells_fees


@pytest.mark.parametrize(
    ("language", "licence", "granted"),
    [
        (
            "en",
            "RH-14 of 20 November 2026",
            (
                "all media, World, from 9 January 2027 in perpetuity",
                "theatrical, FR, 1 January 2027 to 31 December 2027",
            ),
        ),
        (
            "fr",
            "RH-14 du 20 novembre 2026",
            (
                "tous médias, monde entier, à partir du 9 janvier 2027, à perpétuité",
                "exploitation en salles, FR, du 1er janvier 2027 au 31 décembre 2027 inclus",
            ),
        ),
    ],
)
def test_licence_in_force_says_fee_and_grants(episode, language, licence, granted):
    first, _ = clearances()
    accept(first, Stage.LICENSED)
    told = {"clearance": first, "executed_on": date(2026, 11, 20), "currency": "USD", "recorded_by": UserFactory()}
    Licence.objects.create(number="OLD", fee_minor=1, withdrawn_at=NOW, **told)
    signed = Licence.objects.create(number="RH-14", fee_minor=450_000, **told)
    Grant.objects.create(licence=signed, starts_on=date(2027, 1, 9))
    Grant.objects.create(
        licence=signed, media="theatrical", territory="FR", starts_on=date(2027, 1, 1), ends_on=date(2028, 1, 1)
    )
    (terms,) = accepted_in(open_confirmations(episode, language=language)[0])
    assert (terms.payable, terms.licence) == (Money(450_000, "USD"), licence)
    assert sorted(terms.granted) == sorted(granted)


def test_rights_are_those_of_the_request_unless_others_were_agreed(episode, supervisor):
    send_letters(episode=episode, by=supervisor, now=NOW, rights={"territory": "Benelux", "options": ("soundtrack",)})
    accept(clearances()[0])
    facts = open_confirmations(episode, rights={"term": "five years"})[0].facts
    assert (facts.rights.territory, facts.rights.term, facts.rights.options) == ("Benelux", "five years", ())
    assert facts.first == FirstLetter(reference="WEIR-101/S-0001", dated=date(2026, 11, 25))


def test_quote_given_without_a_letter_is_confirmed_with_the_usual_rights(episode):
    accept(clearances()[0], favoured=True)
    (letter,) = open_confirmations(episode)
    assert (letter.facts.first, letter.facts.rights.territory) == (None, "worldwide")
    assert accepted_in(letter)[0].favoured == "yes"


def test_each_quote_is_confirmed_once(episode, supervisor):
    first, second = clearances()
    accept(first)
    send_letters(episode=episode, kind=LetterKind.CONFIRMATION, by=supervisor, now=NOW)
    assert open_confirmations(episode) == []
    accept(second)
    assert [letter.clearances for letter in open_confirmations(episode)] == [(second,)]
    again = accept(first, amount_minor=600_000)
    (letter,) = open_confirmations(episode)
    assert again.pk in {terms.quote for terms in accepted_in(letter)}


@pytest.mark.parametrize("usages", [10, 200])
def test_queries_do_not_grow_with_usages(episode, supervisor, usages, django_assert_num_queries):
    more_music(episode, usages)
    send_letters(episode=episode, by=supervisor, now=NOW)
    for clearance in clearances():
        accept(clearance)
    with django_assert_num_queries(11):
        assert len(open_confirmations(episode)) == usages + 1
