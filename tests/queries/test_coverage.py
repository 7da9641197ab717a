"""Proofs of episodes from rows, against a reckoning of each point by hand, and what they cost."""

from datetime import date, timedelta
from fractions import Fraction

import pytest

from supervision.models import LibraryAgreement, Licence, Usage
from supervision.queries.coverage import proof_of, proofs_of
from supervision.queries.productions import episodes_for
from supervision.rules.clearance import Side, Stage
from supervision.rules.media import Media, Medium
from supervision.rules.territory import Territory
from tests.factories.accounts import MembershipFactory
from tests.factories.catalogue import PartyFactory
from tests.factories.clearance import QuoteFactory
from tests.factories.productions import EpisodeFactory, SeasonFactory
from tests.factories.releases import AIR, WindowFactory, asked, licensed, option_of, song_in
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db
TODAY = date(2026, 11, 25)


@pytest.fixture
def season():
    return SeasonFactory()


@pytest.fixture
def episode(season):
    return EpisodeFactory(season=season, air_date=AIR)


def proof(episode, *, fees=True):
    return proof_of(episode, today=TODAY, fees=fees)


def told(found):
    """Gaps in short: side, media, territory, last day, granted, who lacks."""
    return [
        (
            each.side.side.value,
            each.gap.media.text,
            each.gap.territory.text,
            each.gap.term.last_day,
            each.gap.granted,
            [holder.name for holder in each.lacking],
        )
        for each in found.gaps
    ]


def test_episode_without_plan_is_not_covered(episode):
    found = proof(episode)
    assert (found.covered, found.verdict) == (False, "Not proven: there is no release plan.")
    assert [block.sentence for block in found.blocks] == ["There is no release plan."]


def test_episode_with_both_sides_licensed_is_covered(season, episode):
    WindowFactory(season=season)
    usage = song_in(episode)
    licensed(usage, Side.SYNC)
    licensed(usage, Side.MASTER)
    found = proof(episode)
    assert (found.covered, found.gaps, found.blocks, found.findings) == (True, (), (), ())
    assert found.verdict == "Covered: 1 usage checked against the whole release plan, no gap found."


def test_window_of_season_opens_with_first_broadcast(season, episode):
    WindowFactory(season=season, starts_on=date(2026, 1, 1))
    WindowFactory(season=season, starts_on=date(2026, 1, 1), ends_on=AIR)
    assert [line.window.term.text for line in proof(episode).plan.lines] == ["from 2026-12-02 in perpetuity"]


def test_own_windows_replace_those_of_season(season, episode):
    WindowFactory(season=season)
    WindowFactory(season=season, episode=episode, media="free TV", starts_on=date(2026, 11, 1))
    plan = proof(episode).plan
    assert (plan.own, [line.window.media.text for line in plan.lines]) == (True, ["free TV"])
    assert plan.lines[0].window.term.start == date(2026, 11, 1)


def test_gap_names_who_lacks_where_and_until_when(season, episode):
    WindowFactory(season=season, ends_on=date(2037, 1, 1))
    usage = song_in(episode)
    licensed(usage, Side.SYNC, share=60, grants=[{"territory": "World excl. US", "ends_on": date(2031, 12, 2)}])
    late = asked(usage, Side.SYNC, share=40, holder=PartyFactory(name="Mole Music"), stage=Stage.REQUESTED)
    licensed(usage, Side.MASTER)
    first = usage.clearances.get(side="sync", share=60).holder.name
    last = date(2036, 12, 31)
    assert told(proof(episode)) == [
        ("sync", "SVOD", "World excl. US", date(2031, 12, 1), Fraction(60), ["Mole Music"]),
        ("sync", "SVOD", "US", date(2031, 12, 1), Fraction(0), [first, "Mole Music"]),
        ("sync", "SVOD", "World", last, Fraction(0), [first, "Mole Music"]),
    ]
    assert proof(episode).gaps[0].lacking[0].clearance == late.pk
    assert [block.text for block in proof(episode).blocks] == ["not licensed by Mole Music (requested)."]


def test_usage_without_song_lacks_both_sides(season, episode):
    WindowFactory(season=season)
    UsageFactory(episode=episode, recording=None, title="something slow")
    found = proof(episode)
    assert [(each.side.side, each.gap.unknown) for each in found.gaps] == [(Side.SYNC, 100), (Side.MASTER, 100)]
    assert found.blocks[0].sentence.endswith("nobody is known to ask; choose a song, or complete its works and shares.")


@pytest.mark.parametrize("origin", ["commissioned", "owned"])
def test_music_of_the_production_that_is_in_no_catalogue_is_granted(season, episode, origin):
    WindowFactory(season=season)
    UsageFactory(episode=episode, title="Sluice", origin=origin)
    assert proof(episode).covered


def test_recording_without_works_lacks_its_sync_side(season, episode):
    WindowFactory(season=season)
    usage = song_in(episode)
    usage.recording.works.clear()
    licensed(usage, Side.MASTER)
    assert [(each.side.side, each.gap.unknown) for each in proof(episode).gaps] == [(Side.SYNC, 100)]


def test_share_that_nobody_is_known_to_hold_lacks(season, episode):
    WindowFactory(season=season)
    usage = song_in(episode)
    licensed(usage, Side.SYNC, share=75)
    unknown = asked(usage, Side.SYNC, share=25)
    type(unknown).objects.filter(pk=unknown.pk).update(holder=None)
    licensed(usage, Side.MASTER)
    assert [row[4:] for row in told(proof(episode))] == [(Fraction(75), ["an unknown holder"])]


def test_side_that_needs_nobody_counts_as_granted_with_its_reason(season, episode):
    WindowFactory(season=season, media="soundtrack album, all media")
    usage = song_in(episode)
    asked(usage, Side.SYNC, stage=Stage.NOT_NEEDED, reason="public_domain")
    asked(usage, Side.MASTER, stage=Stage.NOT_NEEDED, reason="commissioned")
    found = proof(episode)
    assert found.covered
    assert [side.holders[0].reason for side in found.sides] == [
        "In the public domain",
        "Commissioned for the production",
    ]


def agreement(episode, **fields):
    production = episode.season.production
    told = {"starts_on": date(2026, 1, 1), "fee_minor": 100, "currency": "USD", "number": "B-1"}
    return LibraryAgreement.objects.create(production=production, party=PartyFactory(), **told | fields)


def test_library_agreement_grants_what_it_says(season, episode):
    WindowFactory(season=season)
    usage = song_in(episode)
    deal = agreement(episode, territory="World excl. JP", ends_on=date(2030, 1, 1))
    for side in Side:
        asked(usage, side, stage=Stage.NOT_NEEDED, reason="blanket", agreement=deal)
    rows = [row[2:4] for row in told(proof(episode)) if row[0] == "sync"]
    assert rows == [("JP", date(2029, 12, 31)), ("World", None)]


def test_blanket_without_agreement_is_granted_and_said(season, episode):
    WindowFactory(season=season)
    usage = song_in(episode)
    for side in Side:
        asked(usage, side, stage=Stage.NOT_NEEDED, reason="blanket")
    found = proof(episode)
    assert (found.covered, [finding.code for finding in found.findings]) == (True, ["agreement-unnamed"] * 2)


def test_withdrawn_licence_and_other_stage_grant_nothing(season, episode):
    WindowFactory(season=season)
    usage = song_in(episode)
    licensed(usage, Side.SYNC)
    licensed(usage, Side.MASTER)
    Licence.objects.filter(clearance__side="sync").update(withdrawn_at="2026-11-20T12:00Z")
    usage.clearances.filter(side="master").update(stage=Stage.APPROVED)
    assert [row[0] for row in told(proof(episode))] == ["sync", "master"]


def test_removed_usage_and_retired_clearance_are_not_proven(season, episode):
    WindowFactory(season=season)
    gone = song_in(episode)
    Usage.objects.filter(pk=gone.pk).update(deleted_at="2026-11-20T12:00Z")
    usage = song_in(episode)
    for side in Side:
        licensed(usage, side)
        asked(usage, side, retired_at="2026-11-20T12:00Z")
    assert (proof(episode).covered, proof(episode).usages) == (True, 1)


def test_length_is_compared_exactly(season):
    # 30 s of labels at 23.976 last 30.03 s: SMPTE ST 12-1 counts 24 frames a label second, the film runs slower.
    episode = EpisodeFactory(season=season, air_date=AIR, cut__rate="24000/1001", cut__start_frame=0)
    WindowFactory(season=season)
    usage = song_in(episode, placed=(0, 720))
    licensed(usage, Side.SYNC, grants=[{"max_seconds": 30}])
    licensed(usage, Side.MASTER, grants=[{"max_seconds": 31}])
    found = proof(episode)
    assert [row[0] for row in told(found)] == ["sync"]
    assert [(finding.code, "30 3/100 s" in finding.text) for finding in found.findings] == [("grant-too-short", True)]


def test_uses_of_one_licence_are_spent_in_order_over_the_season(season):
    WindowFactory(season=season)
    holder = PartyFactory(name="Stokers")
    episodes = [EpisodeFactory(season=season, air_date=AIR, position=at) for at in (1, 2, 3)]
    for episode in episodes:
        usage = song_in(episode)
        licensed(usage, Side.SYNC, holder=holder, number="S-7", grants=[{"max_uses": 2}])
        licensed(usage, Side.MASTER)
    found = proofs_of(season, today=TODAY)
    assert [each.covered for each in found] == [True, True, False]
    assert [finding.text for finding in found[2].findings] == [
        "Stokers grants 2 uses in S-7; earlier episodes have spent them."
    ]


def test_uses_of_one_licence_are_spent_within_an_episode(season, episode):
    WindowFactory(season=season)
    holder = PartyFactory()
    for _ in range(2):
        usage = song_in(episode)
        licensed(usage, Side.SYNC, holder=holder, number="S-7", grants=[{"max_uses": 1}])
        licensed(usage, Side.MASTER)
    found = proof(episode)
    assert ([finding.code for finding in found.findings], found.short_usages) == (["grant-uses-spent"], 1)


def test_gap_names_the_option_that_closes_it_and_the_cheapest_set(season, episode):
    WindowFactory(season=season, media="theatrical", starts_on=date(2027, 1, 1))
    usage = song_in(episode)
    tv = [{"media": "all media excl. theatrical"}]
    sync, master = licensed(usage, Side.SYNC, grants=tv), licensed(usage, Side.MASTER, grants=tv)
    dear = option_of(sync, payable_minor=150_000)
    cheap = option_of(sync, payable_minor=120_000, amount_minor=120_000, exercisable_until=None)
    other = option_of(master)
    option_of(master, payable_minor=1, exercisable_until=TODAY - timedelta(days=1))
    sync.standing_quote.valid_until = date(2027, 1, 31)
    sync.standing_quote.save()
    found = proof(episode)
    assert [[offer.id for offer in each.offers] for each in found.gaps] == [[cheap.pk], [other.pk]]
    assert found.gaps[0].offers[0].deadline == date(2027, 1, 31)
    closing = found.closing
    assert ([offer.id for offer in closing.offers], closing.fee.minor, closing.left) == (
        [cheap.pk, other.pk],
        320_000,
        0,
    )
    assert dear.pk not in {offer.id for offer in closing.offers}


def test_exercised_option_and_that_of_an_older_quote_close_nothing(season, episode):
    WindowFactory(season=season, media="theatrical", starts_on=date(2027, 1, 1))
    usage = song_in(episode)
    sync = licensed(usage, Side.SYNC, grants=[{"media": "SVOD"}])
    licensed(usage, Side.MASTER)
    option_of(sync, exercised_on=TODAY)
    old = option_of(sync)
    old.quote = QuoteFactory(clearance=sync)
    old.save()
    assert [each.offers for each in proof(episode).gaps] == [()]


def test_options_in_two_currencies_are_compared_at_the_day_s_rate(season, episode):
    WindowFactory(season=season, media="theatrical", starts_on=date(2027, 1, 1))
    usage = song_in(episode)
    sync = licensed(usage, Side.SYNC, grants=[{"media": "SVOD"}])
    licensed(usage, Side.MASTER)
    option_of(sync)
    pounds = option_of(sync, currency="GBP", amount_minor=150_000, payable_minor=150_000)
    assert [finding.code for finding in proof(episode).findings] == ["rate-missing"]
    assert proof(episode).closing is None
    season.production.exchange_rates.create(base="GBP", quote="USD", rate="1.25", on=TODAY, source="desk")
    found = proof(episode)
    assert ([offer.id for offer in found.closing.offers], found.closing.fee.minor) == ([pounds.pk], 187_500)


def test_fees_are_left_out_for_who_may_not_see_them(season, episode):
    WindowFactory(season=season, media="theatrical", starts_on=date(2027, 1, 1))
    usage = song_in(episode)
    option_of(licensed(usage, Side.SYNC, grants=[{"media": "SVOD"}]))
    licensed(usage, Side.MASTER)
    found = proof(episode, fees=False)
    assert (found.closing.fee, [offer.fee for each in found.gaps for offer in each.offers]) == (None, [None])
    assert {offer.fee for side in found.sides for holder in side.holders for offer in holder.offers} == {None}


def test_gap_after_the_broadcast_blocks_nothing(season, episode):
    WindowFactory(season=season)
    usage = song_in(episode)
    licensed(usage, Side.SYNC, grants=[{"ends_on": date(2030, 1, 1)}])
    licensed(usage, Side.MASTER)
    assert (proof(episode).covered, proof(episode).blocks) == (False, ())


def test_gap_on_the_day_of_broadcast_blocks_it(season, episode):
    WindowFactory(season=season)
    usage = song_in(episode)
    licensed(usage, Side.SYNC, grants=[{"starts_on": AIR + timedelta(days=1)}])
    licensed(usage, Side.MASTER)
    assert [block.text for block in proof(episode).blocks] == ["SVOD in World is not granted on 2026-12-02."]


def test_two_holders_of_one_name_are_told_apart(season, episode):
    WindowFactory(season=season)
    usage = song_in(episode)
    for share in (50, 30, 20):
        asked(usage, Side.SYNC, share=share, holder=PartyFactory(name="Mole Music"))
    licensed(usage, Side.MASTER)
    assert told(proof(episode))[0][5] == ["Mole Music", "Mole Music in World", "Mole Music in World (2)"]


def test_gaps_agree_with_a_reckoning_of_each_point(season, episode):
    """Every tenth country, every medium and the days around each border, one by one from the rows."""
    WindowFactory(season=season, media="SVOD, free TV", territory="World excl. CN")
    WindowFactory(season=season, media="all media", territory="UK, Ireland, US", ends_on=date(2030, 6, 1))
    usage = song_in(episode)
    licensed(
        usage,
        Side.SYNC,
        share=50,
        grants=[{"media": "all TV", "ends_on": date(2029, 1, 1)}, {"media": "VOD", "territory": "Europe"}],
    )
    licensed(usage, Side.SYNC, share=50, number="L-2", grants=[{"territory": "World excl. US, JP"}])
    licensed(usage, Side.MASTER, grants=[{"media": "all media excl. theatrical", "ends_on": date(2031, 1, 1)}])
    found = proof(episode)
    codes = [*sorted(Territory.parse("World").countries)[::10], "US", "GB", "IE", "JP", "CN", "DE"]
    borders = (AIR, date(2029, 1, 1), date(2030, 6, 1), date(2031, 1, 1), date(2035, 1, 1))
    days = [border + timedelta(days=shift) for border in borders for shift in (-1, 0)]
    points = [(code, medium, day) for code in codes for medium in Medium for day in days]
    by_hand = {(side, *point) for side in Side for point in points if _lacks(season, usage, side, *point)}
    by_gaps = {
        (each.side.side, code, medium, day)
        for each in found.gaps
        for code, medium, day in points
        if each.gap.territory.contains(code) and each.gap.media.contains(medium) and each.gap.term.contains(day)
    }
    assert by_gaps == by_hand
    assert len(by_hand) > 100


def _lacks(season, usage, side, code, medium, day):
    """Whether the point is planned and short of 100 %, from the rows alone."""
    if day < AIR or not any(_holds(window, code, medium, day) for window in season.windows.all()):
        return False
    granted = 0
    for clearance in usage.clearances.filter(side=side).prefetch_related("licences__grants"):
        grants = [grant for licence in clearance.licences.all() for grant in licence.grants.all()]
        granted += clearance.share if any(_holds(grant, code, medium, day) for grant in grants) else 0
    return granted < 100


def _holds(row, code, medium, day):
    return (
        code in Territory.parse(row.territory).countries
        and medium in Media.parse(row.media).media
        and row.starts_on <= day
        and (row.ends_on is None or day < row.ends_on)
    )


@pytest.mark.parametrize("usages", [10, 200])
def test_proof_costs_as_many_queries_whatever_the_episode_holds(season, episode, usages, django_assert_num_queries):
    WindowFactory(season=season)
    holder = PartyFactory()
    for _ in range(usages):
        usage = song_in(episode, placed=(900_000, 900_100))
        option_of(licensed(usage, Side.SYNC, holder=holder, grants=[{"max_uses": 500, "media": "free TV"}]))
        asked(usage, Side.MASTER, holder=holder)
    user = MembershipFactory(production=season.production).user
    loaded = episodes_for(user).get()
    with django_assert_num_queries(8):
        found = proof_of(loaded, today=TODAY, fees=True)
    assert len(found.gaps) == 2 * usages
    with django_assert_num_queries(9):
        assert [len(each.gaps) for each in proofs_of(season, today=TODAY)] == [2 * usages]
