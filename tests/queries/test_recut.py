"""Two cuts of an episode held against each other. Common practice, no published source; figures by hand."""

from datetime import UTC, date, datetime

import pytest

from supervision.actions.cue_sheets import issue_cue_sheet
from supervision.actions.productions import add_cut
from supervision.actions.spotting import place_usage, remove_usage
from supervision.models import Clearance, CueSheetRevision, Letter, LibraryAgreement, Usage
from supervision.queries.fees import By, amounts_of
from supervision.queries.productions import episode_for
from supervision.queries.recut import consequences_of, cut_before, last_recut_of, recut_of
from supervision.queries.spotting import cut_of
from supervision.rules.asks import Asked
from supervision.rules.budget import Figure
from supervision.rules.clearance import Side, Stage
from supervision.rules.durations import Span
from supervision.rules.errors import Conflict, NotVisible
from supervision.rules.money import Money, total
from supervision.rules.recut import Change, Heard, Kind, reconcile
from supervision.rules.recut_consequences import Effect, Stated
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.catalogue import PartyFactory, RecordingFactory, WorkFactory, WorkShareFactory
from tests.factories.clearance import at_stage
from tests.factories.productions import EpisodeFactory
from tests.factories.recut import recut, seconds
from tests.factories.releases import asked, licensed, option_of, song_in
from tests.factories.season import season_of
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)


@pytest.fixture
def episode():
    return EpisodeFactory(code="WEIR-101")


@pytest.fixture
def tide(episode):
    return song_in(episode, title="Evening Tide", cue_number="1M1", placed=seconds(60, 90))


@pytest.fixture
def gulls(episode):
    return song_in(episode, title="Gulls", cue_number="1M2", placed=seconds(300, 360))


@pytest.fixture
def issued(episode):
    """A usage that a cue sheet of the episode lists: it was issued with it alone."""
    work = WorkFactory(title="Evening Tide")
    WorkShareFactory(work=work, writer=True)
    WorkShareFactory(work=work)
    usage = UsageFactory(episode=episode, cue_number="1M1", work=work, placed=seconds(60, 90))
    by = MembershipFactory(production=episode.season.production, role="supervisor").user
    issue_cue_sheet(episode=episode_for(by, episode.code), by=by, now=NOW)
    return usage


def kinds(found):
    return [(row.change.kind, row.name) for row in found.rows]


def effects(found):
    return [(one.effect, one.name, one.holder) for one in found.consequences]


class TestChanges:
    def test_music_behind_a_scene_cut_out_is_kept(self, episode, tide, gulls):
        before, after = recut(episode, {tide: seconds(60, 90), gulls: seconds(200, 260)}, shorter=100)
        found = recut_of(episode, before, after, fees=True)
        assert kinds(found) == [(Kind.KEPT, "1M1 Evening Tide"), (Kind.KEPT, "1M2 Gulls")]
        assert [row.told for row in found.rows] == ["", "1:40 earlier with the picture."]
        assert found.consequences == ()
        assert (found.tally_before.seconds, found.tally_after.seconds) == (90, 90)

    def test_times_are_told_for_either_cut(self, episode, tide, gulls):
        before, after = recut(episode, {tide: seconds(60, 100)})
        found = recut_of(episode, before, after, fees=True)
        longer, gone = found.rows
        assert [
            (stand.in_timecode, stand.out_timecode, stand.seconds) for stand in (*longer.before, *longer.after)
        ] == [
            ("10:01:00:00", "10:01:30:00", 30),
            ("10:01:00:00", "10:01:40:00", 40),
        ]
        assert (gone.change.kind, gone.after, gone.usage, gone.live) == (Kind.GONE, (), gulls.pk, True)

    def test_one_usage_in_both_cuts_is_the_same_whatever_else_sounds_alike(self, episode, tide):
        again = UsageFactory(episode=episode, recording=tide.recording, placed=seconds(300, 330))
        before, after = recut(episode, {again: seconds(60, 90)})
        found = recut_of(episode, before, after, fees=True)
        assert {(row.change.kind, row.change.before) for row in found.rows} == {
            (Kind.GONE, (tide.pk,)),
            (Kind.MOVED, (again.pk,)),
        }

    def test_usages_with_one_working_title_are_one_music(self, episode):
        first = UsageFactory(episode=episode, title="Low  drone", placed=seconds(10, 20))
        second = UsageFactory(episode=episode, title="low drone")
        before, after = recut(episode, {second: seconds(10, 20)})
        (row,) = recut_of(episode, before, after, fees=True).rows
        assert (row.change.kind, row.change.before, row.change.after) == (Kind.KEPT, (first.pk,), (second.pk,))

    def test_a_usage_taken_off_the_log_since_counts_as_gone(self, episode, tide, gulls):
        before, after = recut(episode, {tide: seconds(60, 90), gulls: seconds(300, 360)})
        Usage.objects.filter(pk=gulls.pk).update(deleted_at=NOW)
        found = recut_of(episode, before, after, fees=True)
        assert kinds(found) == [(Kind.KEPT, "1M1 Evening Tide"), (Kind.GONE, "1M2 Gulls")]
        assert not found.rows[1].live

    def test_a_usage_taken_off_the_log_before_the_new_cut_was_made_is_left_out(self, episode, tide, gulls):
        Usage.objects.filter(pk=gulls.pk).update(deleted_at=NOW)
        before, after = recut(episode, {tide: seconds(60, 90)})
        assert kinds(recut_of(episode, before, after, fees=True)) == [(Kind.KEPT, "1M1 Evening Tide")]

    def test_cuts_at_two_rates_are_counted_at_the_new_one(self, episode, tide, gulls):
        at_24 = {"rate": "24", "start_frame": 24 * 36000, "running_frames": 24 * 2700}
        places = {tide: (24 * 36060, 24 * 36090), gulls: (24 * 36300 + 1, 24 * 36360)}
        before, after = recut(episode, places, **at_24)
        found = recut_of(episode, before, after, fees=True)
        assert {row.change.kind for row in found.rows} == {Kind.KEPT}

    def test_nothing_in_either_cut_is_nothing_changed(self, episode):
        before, after = recut(episode, {})
        assert recut_of(episode, before, after, fees=True).rows == ()

    def test_a_cut_made_by_hand_shows_what_was_edited_after(self, episode, tide, gulls):
        by = MembershipFactory(production=episode.season.production, role="coordinator").user
        old = episode.current_cut
        times = {"rate": old.rate, "drop": old.drop, "start_frame": old.start_frame, "running_frames": 1000}
        new = add_cut(episode=episode, label="", dated=None, cut=times, by=by, now=NOW)
        loaded = episode_for(by, episode.code)
        tide, gulls = (
            loaded.usages.select_related("episode__season__production").get(pk=one.pk) for one in (tide, gulls)
        )
        place_usage(usage=tide, span=Span(*seconds(60, 75)), by=by, now=NOW)
        remove_usage(usage=gulls, by=by, now=NOW)
        found = recut_of(loaded, old, new, fees=True)
        assert [row.change.kind for row in found.rows] == [Kind.SHORTER, Kind.GONE]


class TestConsequences:
    def test_length_uses_and_money_of_a_licence(self, episode, tide, gulls):
        licensed(tide, Side.SYNC, number="K-1", holder=PartyFactory(name="Kotva"), grants=[{"max_seconds": 30}])
        licensed(gulls, Side.MASTER, number="S-1", holder=PartyFactory(name="Skala"), grants=[{"max_uses": 1}])
        again = UsageFactory(episode=episode, recording=gulls.recording, cue_number="1M3")
        licensed(again, Side.MASTER, number="S-2", holder=PartyFactory(name="Skala"))
        before, after = recut(episode, {tide: seconds(60, 91), gulls: seconds(300, 360), again: seconds(400, 420)})
        found = recut_of(episode, before, after, fees=True)
        assert effects(found) == [
            (Effect.OVER_MAXIMUM, "1M1 Evening Tide", "Kotva (sync), licence K-1"),
            (Effect.USES_EXCEEDED, "1M2 Gulls", "Skala (master), licence S-1"),
        ]
        assert found.in_question == [Stated("licensed", Money(1_000_000, "USD"))]
        assert found.money_back == []

    def test_money_of_what_is_gone_is_that_of_the_pages(self, episode, tide, gulls):
        paid = licensed(gulls, Side.SYNC, number="G-1")
        paid.licences.update(invoiced_on=date(2026, 11, 1), paid_on=date(2026, 11, 2))
        option = option_of(paid)
        type(option).objects.filter(pk=option.pk).update(
            exercised_on=date(2026, 11, 3), exercised_by=paid.standing_quote.recorded_by
        )
        at_stage(asked(gulls, Side.MASTER), Stage.QUOTED, payable_minor=125_000, currency="EUR", amount_minor=125_000)
        before, after = recut(episode, {tide: seconds(60, 90)})
        found = recut_of(episode, before, after, fees=True)
        assert found.money_back == [
            Stated("quoted", Money(125_000, "EUR")),
            Stated("licensed", Money(200_000, "USD")),
            Stated("paid", Money(500_000, "USD")),
        ]
        amounts = amounts_of(Usage.objects.filter(pk=gulls.pk), By.USAGE)
        quoted = total(amount.money for amount in amounts if amount.figure is Figure.QUOTED)
        assert quoted == total(stated.amount for stated in found.money_back)

    def test_amounts_are_left_out_for_whoever_may_not_read_them(self, episode, tide, gulls):
        licensed(gulls, Side.SYNC)
        before, after = recut(episode, {tide: seconds(60, 90)})
        found = recut_of(episode, before, after, fees=False)
        assert [one.stated for one in found.consequences] == [()]
        assert found.money_back == []

    def test_letters_that_say_another_length_are_named(self, episode, tide):
        question = Asked.of(tide.facets, seconds=30, uses=1, scene="").as_json()
        clearance = asked(tide, Side.SYNC, holder=PartyFactory(name="Kotva"), stage=Stage.REQUESTED, asked=question)
        letter = Letter.objects.create(
            episode=episode,
            holder=clearance.holder,
            side=Side.SYNC,
            reference="WEIR-L7",
            sent_at=NOW,
            sent_by=UserFactory(),
            payload={},
            digest="0" * 64,
        )
        letter.clearances.add(clearance)
        before, after = recut(episode, {tide: seconds(60, 100)})
        assert effects(recut_of(episode, before, after, fees=True)) == [
            (Effect.ASK_BROKEN, "1M1 Evening Tide", "Kotva (sync), requested, asked by WEIR-L7")
        ]

    @pytest.mark.parametrize(("fees", "stated"), [(True, (Stated("more", Money(5_000, "USD")),)), (False, ())])
    def test_a_library_charges_another_minute_once_for_both_sides(self, episode, tide, fees, stated):
        agreement = LibraryAgreement.objects.create(
            production=episode.season.production,
            party=PartyFactory(name="Shelfmark"),
            number="SM-7",
            starts_on=date(2026, 1, 1),
            fee_minor=5_000,
            currency="USD",
            per="minute",
        )
        for side in Side:
            asked(tide, side, stage=Stage.NOT_NEEDED, agreement=agreement)
        before, after = recut(episode, {tide: seconds(60, 121)})
        (found,) = recut_of(episode, before, after, fees=fees).consequences
        assert found.text == "1M1 Evening Tide, Shelfmark, agreement SM-7: 2 minutes begun are charged now, 1 before."
        assert found.stated == stated

    def test_retired_clearances_are_past(self, episode, tide, gulls):
        Clearance.objects.filter(pk=licensed(gulls, Side.SYNC).pk).update(retired_at=NOW)
        before, after = recut(episode, {tide: seconds(60, 90)})
        assert recut_of(episode, before, after, fees=True).consequences == ()


class TestCueSheet:
    def test_an_issued_sheet_is_out_of_date_when_the_music_changed(self, episode, issued):
        before, after = recut(episode, {issued: seconds(60, 85)})
        found = [one for one in recut_of(episode, before, after, fees=True).consequences if one.change is None]
        assert [(one.effect, one.name, one.reason) for one in found] == [
            (
                Effect.SHEET_OUTDATED,
                "Revision 1 of the cue sheet",
                "It no longer says what is heard: 1M1 is 0:25 long, not 0:30.",
            )
        ]

    def test_an_issued_sheet_holds_where_nothing_changed(self, episode, issued):
        before, after = recut(episode, {issued: seconds(60, 90)})
        assert recut_of(episode, before, after, fees=True).consequences == ()

    def test_a_cue_without_a_number_is_known_by_its_works_title_as_the_sheet_lists_it(self, episode):
        work = WorkFactory(title="Evening Tide")
        WorkShareFactory(work=work, writer=True)
        WorkShareFactory(work=work)
        live = RecordingFactory(title="Evening Tide (Live at the Lock)", works=[work])
        usage = UsageFactory(episode=episode, cue_number="", recording=live, placed=seconds(60, 90))
        by = MembershipFactory(production=episode.season.production, role="supervisor").user
        issue_cue_sheet(episode=episode_for(by, episode.code), by=by, now=NOW)
        before, after = recut(episode, {usage: seconds(60, 90)})
        assert recut_of(episode, before, after, fees=True).consequences == ()

    def test_a_sheet_that_was_tampered_with_is_refused(self, episode, issued):
        CueSheetRevision.objects.update(digest="0" * 64)
        before, after = recut(episode, {issued: seconds(60, 90)})
        with pytest.raises(Conflict):
            recut_of(episode, before, after, fees=True)


class TestProposal:
    def reconciled(self, tide, gulls, *after):
        before = [Heard(tide.pk, "tide", Span(*seconds(60, 90))), Heard(gulls.pk, "gulls", Span(*seconds(300, 360)))]
        heard = [Heard(key, song, Span(*seconds(*place))) for key, (song, place) in enumerate(after, start=1000)]
        return reconcile(before, heard), {one.key: one.span for one in heard}

    def test_a_proposed_cut_has_the_consequences_of_the_saved_one(self, episode, tide, gulls):
        licensed(tide, Side.SYNC, number="K-1", holder=PartyFactory(name="Kotva"), grants=[{"max_seconds": 30}])
        licensed(gulls, Side.SYNC, number="G-1", holder=PartyFactory(name="Skala"))
        changes, proposed = self.reconciled(tide, gulls, ("tide", (60, 95)), ("bells", (500, 520)))
        told = consequences_of(episode, changes, proposed, rate=episode.current_cut.frame_rate, fees=True)
        assert [(one.effect, one.name, one.holder) for one in told] == [
            (Effect.OVER_MAXIMUM, "1M1 Evening Tide", "Kotva (sync), licence K-1"),
            (Effect.UNCLEARED, "", ""),
            (Effect.MONEY_BACK, "1M2 Gulls", "Skala (sync), licence G-1"),
        ]
        assert told[2].stated == (Stated("licensed", Money(500_000, "USD")),)
        before, after = recut(episode, {tide: seconds(60, 95)})
        saved = recut_of(episode, before, after, fees=True).consequences
        assert [(one.effect, one.text) for one in saved] == [(one.effect, one.text) for one in (told[0], told[2])]

    def test_it_may_be_said_which_usage_a_proposed_one_will_be(self, episode, tide, gulls):
        spare = song_in(episode, title="Bells", cue_number="1M9")
        asked(spare, Side.SYNC, stage=Stage.DENIED)
        changes, proposed = self.reconciled(
            tide, gulls, ("tide", (60, 90)), ("gulls", (300, 360)), ("bells", (500, 520))
        )
        carried = {1000: tide.pk, 1001: gulls.pk, 1002: spare.pk}
        told = consequences_of(
            episode, changes, proposed, rate=episode.current_cut.frame_rate, fees=True, carried=carried
        )
        assert [one.text for one in told] == [
            f"{name}: It is new in the cut: {what}." for name, what in (("1M9 Bells", "sync denied"),)
        ]

    def test_an_episode_without_a_cut_has_new_music_only(self):
        episode = EpisodeFactory(cut=None)
        episode.current_cut = None
        change = Change(kind=Kind.NEW, song="tide", after=(1,), longer=250)
        rate = EpisodeFactory().current_cut.frame_rate
        told = consequences_of(episode, [change], {1: Span(0, 250)}, rate=rate, fees=True)
        assert [one.effect for one in told] == [Effect.UNCLEARED]

    def test_an_issued_sheet_is_held_against_the_proposal(self, episode, issued):
        heard = [Heard(1000, "tide", Span(*seconds(60, 95))), Heard(1001, "bells", Span(*seconds(300, 310)))]
        changes = reconcile([Heard(issued.pk, "tide", Span(*seconds(60, 90)))], heard)
        proposed = {one.key: one.span for one in heard}
        told = consequences_of(episode, changes, proposed, rate=episode.current_cut.frame_rate, fees=True)
        assert [one.reason for one in told if one.effect is Effect.SHEET_OUTDATED] == [
            "It no longer says what is heard: 1M1 is 0:35 long, not 0:30; new music is missing from it."
        ]


def test_the_cut_before_is_found_by_number(episode):
    before, after = recut(episode, {})
    assert cut_before(after) == before
    with pytest.raises(NotVisible, match="no cut before"):
        cut_before(before)
    assert cut_of(episode, after.number) == after


def test_the_last_recut_is_that_of_the_current_cut(episode, tide):
    assert last_recut_of(episode, fees=True) is None
    before, after = recut(episode, {tide: seconds(60, 95)})
    found = last_recut_of(episode, fees=True)
    assert (found.before, found.after, found.counted, found.graver) == (before, after, "1 longer", 0)
    episode.current_cut = None
    assert last_recut_of(episode, fees=True) is None


@pytest.mark.parametrize("usages", [10, 60])
def test_eight_queries_whatever_the_cuts_hold(usages, django_assert_num_queries):
    episode = season_of(usages, episodes=1).episodes.get()
    placed = {one.usage: (one.in_frame, one.out_frame + 5) for one in episode.current_cut.placements.all()}
    before, after = recut(episode, placed)
    with django_assert_num_queries(8):
        found = recut_of(episode, before, after, fees=True)
    assert found.of_kind(Kind.LONGER) == usages


def test_a_proposal_takes_no_more(django_assert_num_queries):
    episode = season_of(10, episodes=1).episodes.get()
    spans = {one.usage_id: Span(one.in_frame, one.out_frame + 5) for one in episode.current_cut.placements.all()}
    changes = [Change(kind=Kind.LONGER, song=str(key), before=(key,), after=(key,)) for key in spans]
    with django_assert_num_queries(7):
        consequences_of(episode, changes, spans, rate=episode.current_cut.frame_rate, fees=True)
