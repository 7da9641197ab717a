"""Forecasts of seasons and episodes: fees of every kind from the rows, beside the budget, in a fixed number of queries."""

from datetime import date
from decimal import Decimal

import pytest

from supervision.models import BudgetLine, Clearance, ExchangeRate, LibraryAgreement, Licence, Option, Quote, Usage
from supervision.queries.forecast import episode_forecast, season_forecast
from supervision.rules.clearance import Reason, Side, Stage
from supervision.rules.fees import Basis
from supervision.rules.money import Money
from tests.factories.catalogue import PartyFactory, RecordingFactory, WorkFactory
from tests.factories.clearance import ClearanceFactory, QuoteFactory
from tests.factories.productions import EpisodeFactory
from tests.factories.season import season_of
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db
TODAY = date(2026, 11, 25)


def usd(minor):
    return Money(minor, "USD")


def figures(money):
    """Committed, exposed and forecast in minor units of the table's currency."""
    return tuple(cell.converted.minor for cell in (money.committed, money.exposed, money.forecast))


def quoted(usage, minor, *, stage=Stage.QUOTED, side=Side.SYNC, share=100, **terms):
    """A clearance of the usage whose holder asks an amount for 100 % of the side."""
    song = {"work": None, "recording": RecordingFactory()} if side is Side.MASTER else {}
    clearance = ClearanceFactory(usage=usage, side=side, share=share, **song)
    payable = minor * share // 100
    quote = QuoteFactory(clearance=clearance, amount_minor=minor, payable_minor=payable, basis=Basis.FULL, **terms)
    Clearance.objects.filter(pk=clearance.pk).update(stage=stage, standing_quote=quote)
    clearance.refresh_from_db()
    return clearance


@pytest.fixture
def episode():
    return EpisodeFactory()


@pytest.mark.parametrize("usages", [10, 200])
def test_season_queries_do_not_grow_with_usages(usages, django_assert_num_queries):
    season = season_of(usages)
    with django_assert_num_queries(8):
        season_forecast(season, TODAY)


@pytest.mark.parametrize("usages", [10, 200])
def test_episode_queries_do_not_grow_with_usages(usages, django_assert_num_queries):
    episode = season_of(usages, episodes=1).episodes.select_related("season__production", "current_cut").get()
    with django_assert_num_queries(7):
        episode_forecast(episode, TODAY)


def test_every_stage_is_counted_where_it_stands():
    # A usage's sync: 25 % draft, quoted 100, approved 200; of the 1,000 estimate a third (25 of 75) is not quoted.
    # Its master: licensed at 300.
    season = season_of(2)
    Usage.objects.update(likelihood=50)
    money = season_forecast(season, TODAY).total
    # sync of each: committed 200; exposed 300; open 100 + 333.33, half of it 216.67 as shown: 416.67, and twice that
    assert figures(money.sync.figures) == (40_000, 60_000, 83_334)
    assert figures(money.master.figures) == (60_000, 60_000, 60_000)


def test_episodes_total_is_its_line_on_the_season():
    season = season_of(5)
    season.production.currency = "EUR"
    season.production.save()
    Usage.objects.update(likelihood=33)
    ExchangeRate.objects.create(production=season.production, base="EUR", quote="USD", rate=Decimal("1.0837"), on=TODAY)
    lines = season_forecast(season, TODAY).lines
    totals = [episode_forecast(line.episode, TODAY).total for line in lines]
    assert [figures(line.money.total.figures) for line in lines] == [figures(money.total.figures) for money in totals]


def test_favoured_holder_is_exposed_to_the_higher_quote(episode):
    # the label asks 4,000; the publisher's half is favoured with both sides of the song, at 1,000 on 100 %
    usage = UsageFactory(episode=episode, likelihood=50)
    quoted(usage, 100_000, share=50, favoured=True, favoured_with="song")
    quoted(usage, 400_000, side=Side.MASTER)
    money = episode_forecast(episode, TODAY).total
    assert figures(money.sync.figures) == (0, 200_000, 100_000)
    assert figures(money.master.figures) == (0, 400_000, 200_000)


def test_approved_fee_is_committed_and_its_raise_is_likely(episode):
    usage = UsageFactory(episode=episode, likelihood=50)
    quoted(usage, 100_000, stage=Stage.APPROVED, favoured=True, favoured_with="song")
    quoted(usage, 400_000, side=Side.MASTER)
    # committed 1,000; raised to 4,000, and half of the raise
    assert figures(episode_forecast(episode, TODAY).total.sync.figures) == (100_000, 400_000, 250_000)


def test_raises_stay_within_their_episode(episode):
    quoted(UsageFactory(episode=episode), 100_000, favoured=True, favoured_with="all")
    other = EpisodeFactory(season=episode.season)
    quoted(UsageFactory(episode=other), 400_000)
    assert [figures(line.money.total.figures)[1] for line in season_forecast(episode.season, TODAY).lines] == [
        100_000,
        400_000,
    ]


def test_licence_fee_counts_instead_of_its_quote_and_exercised_options_beside_it(episode):
    clearance = quoted(UsageFactory(episode=episode), 100_000, stage=Stage.LICENSED)
    quote = clearance.standing_quote
    Licence.objects.create(
        clearance=clearance,
        number="L-1",
        executed_on=TODAY,
        fee_minor=90_000,
        currency="USD",
        recorded_by=quote.recorded_by,
    )
    for fee, day in ((25_000, TODAY), (70_000, None)):
        Option.objects.create(
            quote=quote,
            media="theatrical",
            starts_on=TODAY,
            amount_minor=fee,
            payable_minor=fee,
            currency="USD",
            exercised_on=day,
        )
    assert figures(episode_forecast(episode, TODAY).total.total.figures) == (115_000,) * 3


@pytest.mark.parametrize(("per", "fee"), [("use", 5_000), ("minute", 10_000)])
def test_library_agreement_is_paid_once_a_use_over_both_sides(episode, per, fee):
    # 61 s at 25 frames a second are two minutes begun
    start = episode.current_cut.start_frame
    usage = UsageFactory(
        episode=episode, placed=(start, start + 61 * 25), sync_estimate_minor=7, estimate_currency="USD"
    )
    agreement = LibraryAgreement.objects.create(
        production=episode.season.production,
        party=PartyFactory(),
        number="A-1",
        starts_on=TODAY,
        fee_minor=5_000,
        currency="USD",
        per=per,
    )
    covered = {"stage": Stage.NOT_NEEDED, "reason": Reason.BLANKET, "agreement": agreement}
    ClearanceFactory(usage=usage, **covered)
    ClearanceFactory(usage=usage, side=Side.MASTER, work=None, recording=RecordingFactory(), **covered)
    money = episode_forecast(episode, TODAY).total
    assert [figures(side.figures)[0] for side in money.sides] == [fee // 2, fee // 2, fee]
    assert figures(money.total.figures) == (fee,) * 3


@pytest.mark.parametrize(
    ("reason", "forecast"), [(Reason.PUBLIC_DOMAIN, 0), (Reason.OWNED, 0), (Reason.COMMISSIONED, 800), ("", 800)]
)
def test_music_that_needs_no_fee_takes_its_estimate_along_unless_it_is_made(episode, reason, forecast):
    usage = UsageFactory(episode=episode, sync_estimate_minor=800, estimate_currency="USD")
    ClearanceFactory(usage=usage, stage=Stage.NOT_NEEDED if reason else Stage.DENIED, reason=reason)
    assert figures(episode_forecast(episode, TODAY).total.total.figures) == (0, 0, forecast)


def test_raises_that_cannot_be_compared_are_told_and_left_out(episode):
    usage = UsageFactory(episode=episode)
    quoted(usage, 100_000, favoured=True, favoured_with="song")
    clearance = quoted(usage, 400_000, side=Side.MASTER)
    Quote.objects.filter(clearance=clearance).update(currency="JPY")
    found = episode_forecast(episode, TODAY)
    assert [(finding.code, finding.place) for finding in found.findings] == [
        ("rate-missing", "JPY"),
        ("raises-unknown", str(episode)),
    ]
    assert figures(found.total.total.figures) == (0, 100_000, 100_000)


def test_budget_is_told_by_side_with_the_reserve_in_the_season_alone():
    season = season_of(2)
    first = season.episodes.first()
    for episode, category, amount in ((first, "sync", 50_000), (first, "master", 40_000), (None, "sync", 9_000)):
        BudgetLine.objects.create(season=season, episode=episode, category=category, amount_minor=amount)
    found = season_forecast(season, TODAY)
    # an episode's sync: committed 200, forecast 200 + 100 + 333.33; its master: licensed at 300
    left = [(line.headroom.remaining, line.headroom.forecast_remaining) for line in found.lines[0].money.sides]
    assert left == [(usd(30_000), usd(-13_333)), (usd(10_000), usd(10_000)), (usd(40_000), usd(-3_333))]
    assert (found.lines[1].money.total.headroom, found.reserve) == (None, {Side.SYNC: usd(9_000)})
    assert found.total.total.headroom.remaining == usd(99_000 - 100_000)


def test_retired_clearances_and_removed_usages_cost_nothing(episode):
    quoted(UsageFactory(episode=episode), 100_000)
    Clearance.objects.update(retired_at="2026-11-25T12:00Z")
    UsageFactory(episode=episode, sync_estimate_minor=5, estimate_currency="USD", deleted_at="2026-11-25T12:00Z")
    assert figures(episode_forecast(episode, TODAY).total.total.figures) == (0, 0, 0)


def test_lines_name_songs_in_the_order_of_the_cut(episode):
    start = episode.current_cut.start_frame
    UsageFactory(episode=episode, cue_number="1M2", placed=(start + 50, start + 90), work=WorkFactory(title="Low Tide"))
    UsageFactory(episode=episode, cue_number="1M1", placed=(start, start + 40), title="Something slow")
    assert [(line.usage.cue_number, line.title) for line in episode_forecast(episode, TODAY).lines] == [
        ("1M1", "Something slow"),
        ("1M2", "Low Tide"),
    ]
