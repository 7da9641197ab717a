"""The page of two cuts: who sees what, where its links lead, and the picture's geometry, which is our own."""

from fractions import Fraction

import pytest
from django.urls import reverse

from supervision.models import LibraryAgreement, Placement, Usage
from supervision.rules.clearance import Side, Stage
from supervision.rules.durations import Span
from supervision.rules.errors import BadValue
from supervision.rules.recut import Heard, Kind, reconcile
from supervision.rules.roles import Role
from supervision.rules.timecode import FrameRate
from supervision.web.marks.recut import ACROSS, RIBBON, CutMusic, draw_recut, units
from supervision.web.marks.stave import Bar
from supervision.web.views.recut import WINDOW
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.catalogue import PartyFactory
from tests.factories.productions import CutFactory, EpisodeFactory
from tests.factories.recut import recut, seconds
from tests.factories.releases import asked, licensed, song_in
from tests.factories.season import season_of

AT_25, AT_24 = FrameRate(Fraction(25)), FrameRate(Fraction(24))


class TestPage:
    pytestmark = pytest.mark.django_db

    @pytest.fixture
    def episode(self):
        return EpisodeFactory(code="WEIR-101", number="101", title="Low Water", cut__number=1)

    @pytest.fixture
    def tide(self, episode):
        usage = song_in(episode, title="Evening Tide", cue_number="1M1", placed=seconds(60, 90))
        licensed(usage, Side.SYNC, number="K-1", holder=PartyFactory(name="Kotva"), grants=[{"max_seconds": 30}])
        return usage

    @pytest.fixture
    def gulls(self, episode):
        usage = song_in(episode, title="Gulls", cue_number="1M2", placed=seconds(300, 360))
        licensed(usage, Side.MASTER, number="S-1", holder=PartyFactory(name="Skala"))
        return usage

    @pytest.fixture
    def cuts(self, episode, tide, gulls):
        return recut(episode, {tide: seconds(60, 100)}, shorter=60)

    def page(self, client, episode, before=1, after=2, role=Role.SUPERVISOR):
        client.force_login(MembershipFactory(production=episode.season.production, role=role).user)
        return client.get(reverse("episode-recut", args=[episode.code, before, after]))

    def test_page_tells_changes_and_what_comes_of_them(self, client, episode, cuts, tide, gulls):
        answer = self.page(client, episode)
        shown = answer.content.decode()
        assert answer.status_code == 200
        assert [row.change.kind for row in answer.context["recut"].rows] == [Kind.LONGER, Kind.GONE]
        assert "It is 0:40 long now; the licence allows up to 0:30." in shown
        assert "0:10 longer at its end." in shown
        for usage in (tide, gulls):
            assert reverse("usage", args=[usage.pk]) in shown
            assert reverse("clearance", args=[usage.clearances.get().pk]) in shown
        assert reverse("shortlist", args=[tide.pk]) in shown
        assert reverse("episode-money", args=[episode.code]) in shown

    def test_figures_are_those_of_both_cuts(self, client, episode, cuts):
        figures = {one["label"]: (one["value"], one["note"]) for one in self.page(client, episode).context["figures"]}
        assert figures == {
            "Changed": (2, "1 longer, 1 gone"),
            "Kept": (0, "in step with the picture"),
            "Music": ("0:40", "1:30 before"),
            "Time with music": ("0:40", "1:30 before"),
            "Running time": ("44:00", "45:00 before"),
            "May come back": ("USD 5,000.00 licensed", ""),
            "In question": ("USD 5,000.00 licensed", ""),
        }

    def test_consequences_that_say_the_same_stand_together(self, client, episode, tide):
        for name in ("Alder", "Birch"):
            asked(tide, Side.MASTER, holder=PartyFactory(name=name), share=50, stage=Stage.DENIED)
        recut(episode, {tide: seconds(60, 100), song_in(episode, cue_number="1M3"): seconds(400, 420)})
        effects = self.page(client, episode).context["effects"]
        assert [(effect.value, [len(told.alike.each) for told in found]) for effect, found in effects] == [
            ("over-maximum", [1]),
            ("uncleared", [1]),
        ]

    def test_a_library_fee_leads_to_no_clearance(self, client, episode, tide):
        agreement = LibraryAgreement.objects.create(
            production=episode.season.production,
            party=PartyFactory(name="Shelfmark"),
            number="SM-7",
            starts_on="2026-01-01",
            fee_minor=5_000,
            currency="USD",
        )
        asked(tide, Side.MASTER, stage=Stage.NOT_NEEDED, agreement=agreement)
        recut(episode, {})
        shown = self.page(client, episode).content.decode()
        assert "<bdi>Shelfmark, agreement SM-7</bdi>" in shown
        assert "0 uses are charged now, 1 before." in shown

    def test_nothing_touched_is_said(self, client, episode):
        usage = song_in(episode, placed=seconds(60, 90))
        recut(episode, {usage: seconds(60, 90)})
        assert (
            "Nothing that was asked, quoted, licensed or issued is touched."
            in self.page(client, episode).content.decode()
        )

    def test_two_empty_cuts_are_said_so(self, client, episode):
        recut(episode, {})
        assert "Neither cut has any music" in self.page(client, episode).content.decode()

    def test_fees_are_left_out_for_whoever_may_not_read_them(self, client, episode, cuts):
        answer = self.page(client, episode, role=Role.COMPOSER)
        assert answer.status_code == 200
        assert "5,000.00" not in answer.content.decode()
        assert [one["label"] for one in answer.context["figures"]][-1] == "Running time"

    def test_a_usage_taken_off_the_log_has_no_page_to_go_to(self, client, episode, tide, gulls):
        recut(episode, {tide: seconds(60, 90), gulls: seconds(300, 360)})
        Usage.objects.filter(pk=gulls.pk).update(deleted_at="2026-11-25T12:00Z")
        shown = self.page(client, episode).content.decode()
        assert "taken off the log" in shown
        assert reverse("usage", args=[gulls.pk]) not in shown

    def test_other_cuts_are_offered(self, client, episode, cuts):
        CutFactory(episode=episode, number=3, label="Fine cut")
        assert reverse("episode-recut", args=[episode.code, 3, 2]) in self.page(client, episode).content.decode()

    @pytest.mark.parametrize(("before", "after"), [(1, 9), (9, 1)])
    def test_a_cut_that_is_not_there_answers_404(self, client, episode, cuts, before, after):
        assert self.page(client, episode, before, after).status_code == 404

    def test_a_stranger_finds_nothing(self, client, episode, cuts):
        client.force_login(UserFactory())
        assert client.get(reverse("episode-recut", args=[episode.code, 1, 2])).status_code == 404

    def test_posting_is_no_way_to_ask(self, client, episode, cuts):
        assert self.page(client, episode).status_code == 200
        assert client.post(reverse("episode-recut", args=[episode.code, 1, 2])).status_code == 405

    def test_a_cut_leads_to_what_changed_since_the_one_before(self, client, episode, cuts):
        path = reverse("episode-last-recut", args=[episode.code, 2])
        client.force_login(MembershipFactory(production=episode.season.production, role=Role.VIEWER).user)
        assert client.get(path).url == reverse("episode-recut", args=[episode.code, 1, 2])
        assert client.get(reverse("episode-last-recut", args=[episode.code, 1])).status_code == 404
        for page in ("episode-cuts", "episode-log"):
            assert path in client.get(reverse(page, args=[episode.code])).content.decode()

    def test_the_page_of_cuts_tells_the_last_recut_in_a_sentence(self, client, episode, tide, cuts):
        client.force_login(MembershipFactory(production=episode.season.production, role=Role.VIEWER).user)
        shown = client.get(reverse("episode-cuts", args=[episode.code])).content.decode()
        assert "Cut 2 against Cut 1: 1 longer, 1 gone; 2 things to see to." in shown
        assert reverse("episode-recut", args=[episode.code, 1, 2]) in shown
        recut(episode, {tide: seconds(60, 100)})
        shown = client.get(reverse("episode-cuts", args=[episode.code])).content.decode()
        assert "Cut 3 against Cut 2: all music is kept." in shown

    def test_a_first_cut_has_nothing_before_it(self, client, episode):
        client.force_login(MembershipFactory(production=episode.season.production, role=Role.VIEWER).user)
        for page in ("episode-cuts", "episode-log"):
            shown = client.get(reverse(page, args=[episode.code])).content.decode()
            assert reverse("episode-last-recut", args=[episode.code, 1]) not in shown

    def test_a_long_list_is_parted_and_every_bar_leads_to_its_row(self, client, episode):
        usages = Usage.objects.bulk_create(Usage(episode=episode, title=f"Bell {n}") for n in range(WINDOW + 1))
        places = {usage: seconds(10 * n, 10 * n + 5) for n, usage in enumerate(usages)}
        Placement.objects.bulk_create(
            Placement(usage=usage, cut=episode.current_cut, in_frame=into, out_frame=out)
            for usage, (into, out) in places.items()
        )
        recut(episode, places)
        first = self.page(client, episode)
        assert [number for _, number in first.context["lines"]] == list(range(1, WINDOW + 1))
        hrefs = [ribbon.href for ribbon in first.context["picture"].ribbons]
        assert hrefs[-2:] == [f"#change-{WINDOW}", f"?page=2#change-{WINDOW + 1}"]
        second = client.get(reverse("episode-recut", args=[episode.code, 1, 2]), {"page": "2"})
        assert [number for _, number in second.context["lines"]] == [WINDOW + 1]
        assert f'id="change-{WINDOW + 1}"' in second.content.decode()

    @pytest.mark.parametrize("usages", [10, 80])
    def test_queries_do_not_grow_with_the_cuts(self, client, usages, django_assert_max_num_queries):
        episode = season_of(usages, episodes=1).episodes.get()
        before, after = recut(
            episode, {one.usage: (one.in_frame, one.out_frame + 9) for one in episode.current_cut.placements.all()}
        )
        client.force_login(MembershipFactory(production=episode.season.production, role=Role.SUPERVISOR).user)
        with django_assert_max_num_queries(18):
            assert (
                client.get(reverse("episode-recut", args=[episode.code, before.number, after.number])).status_code
                == 200
            )


class TestPicture:
    def music(self, *places, end=1000, rate=AT_25, start=0):
        bars = {key: Bar(into, out, "source", f"1M{key}") for key, (into, out) in enumerate(places)}
        return CutMusic(label="Fine cut", bars=bars, start=start, end=end, rate=rate)

    def picture(self, before, after):
        heard = [
            [Heard(key, "tide", Span(bar.start, bar.end)) for key, bar in cut.bars.items()] for cut in (before, after)
        ]
        programmes = (Span(before.start, before.end), Span(after.start, after.end))
        changes = reconcile(*heard, programmes=programmes)
        return draw_recut(before, after, [(change, "So.", f"#change-{at}") for at, change in enumerate(changes)])

    def corners(self, shape):
        return [tuple(int(number) for number in corner.split(",")) for corner in shape.split()]

    def test_a_ribbon_leads_from_a_usage_to_what_became_of_it(self):
        (ribbon,) = self.picture(self.music((100, 200)), self.music((50, 150), end=950)).ribbons
        assert (ribbon.kind, ribbon.href, ribbon.name) == (Kind.KEPT, "#change-0", "1M0: kept. So.")
        assert self.corners(ribbon.shapes[0]) == [(10_000, 0), (20_000, 0), (15_000, RIBBON), (5_000, RIBBON)]

    def test_both_cuts_are_on_the_scale_of_the_longer(self):
        picture = self.picture(self.music(end=1000), self.music(end=750))
        assert (picture.before.end, picture.after.end) == ("100.000%", "75.000%")
        assert (picture.before.running, picture.after.running) == ("0:40", "0:30")
        assert all(units(tick.x) < 75_000 for tick in picture.after.ticks)

    def test_cuts_at_two_rates_are_on_one_scale_of_time(self):
        picture = self.picture(self.music((250, 500)), self.music((240, 480), end=960, rate=AT_24))
        assert {bar.x for cut in picture.cuts for bar in cut.stave.bars} == {"25.000%"}
        assert picture.after.end == "100.000%"

    def test_a_late_start_is_no_slide(self):
        picture = self.picture(self.music((100, 200)), self.music((90_100, 90_200), start=90_000, end=91_000))
        assert self.corners(picture.ribbons[0].shapes[0])[0] == (10_000, 0)
        assert self.corners(picture.ribbons[0].shapes[0])[3] == (10_000, RIBBON)

    def test_what_was_split_parts_in_proportion(self):
        picture = self.picture(self.music((0, 300)), self.music((0, 100), (110, 300)))
        (ribbon,) = picture.ribbons
        assert (ribbon.kind, ribbon.label, len(ribbon.shapes)) == (Kind.SPLIT, "split in 2", 2)
        first, second = (self.corners(shape) for shape in ribbon.shapes)
        assert first[1] == second[0] == (30_000 * 100 // 290, 0)
        assert (second[1], second[2]) == ((30_000, 0), (30_000, RIBBON))

    def test_what_was_joined_comes_together(self):
        (ribbon,) = self.picture(self.music((0, 100), (110, 300)), self.music((0, 300))).ribbons
        assert (ribbon.kind, ribbon.label, len(ribbon.shapes)) == (Kind.JOINED, "joined", 2)

    def test_new_and_gone_have_signs_and_no_ribbon(self):
        picture = self.picture(self.music((100, 200)), self.music())
        assert (picture.ribbons, [(sign.kind, sign.x) for sign in picture.signs]) == ((), [(Kind.GONE, "15.000%")])
        assert picture.before.bottom <= picture.gone_y < picture.after.top
        picture = self.picture(self.music(), self.music((100, 200)))
        assert [(sign.kind, sign.x, sign.href) for sign in picture.signs] == [(Kind.NEW, "15.000%", "#change-0")]
        assert picture.before.bottom < picture.new_y < picture.after.top

    def test_lengths_are_told_with_their_sign(self):
        longer = self.picture(self.music((0, 100)), self.music((0, 150)))
        shorter = self.picture(self.music((0, 100)), self.music((0, 93)))
        assert [one.ribbons[0].label for one in (longer, shorter)] == ["+0:02", "\N{MINUS SIGN}7 frames"]

    def test_a_label_without_room_is_left_to_the_name(self):
        before = self.music((0, 10), (20, 30), (500, 510))
        after = self.music((0, 12), (20, 33), (500, 514))
        ribbons = self.picture(before, after).ribbons
        assert [ribbon.label for ribbon in ribbons] == ["+2 frames", "", "+4 frames"]
        assert all(ribbon.name for ribbon in ribbons)

    def test_music_outside_the_programme_is_kept_at_its_edge(self):
        (ribbon,) = self.picture(self.music((900, 1200)), self.music((900, 1200))).ribbons
        assert self.corners(ribbon.shapes[0])[1] == (ACROSS, 0)

    def test_the_lower_cut_stands_below_the_ribbons(self):
        picture = self.picture(self.music((0, 100)), self.music((0, 100)))
        upper, lower = picture.cuts
        assert upper.top < upper.bottom <= picture.middle < lower.words < lower.top < picture.height == lower.bottom

    def test_a_cut_that_does_not_run_is_refused(self):
        with pytest.raises(BadValue):
            self.picture(self.music(end=0), self.music(end=0))
