from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from django.urls import reverse

from supervision.actions.recordings import add_recording, change_recording
from supervision.actions.works import add_work
from supervision.models import Recording, Work
from supervision.rules.clearance import Side
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory
from tests.factories.catalogue import RecordingFactory, RecordingShareFactory, WorkFactory, WorkShareFactory
from tests.factories.productions import EpisodeFactory
from tests.factories.releases import licensed, option_of
from tests.factories.spotting import UsageFactory
from tests.web.shown_forms import as_shown

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 11, 25, 9, 30, tzinfo=UTC)


@pytest.fixture
def by():
    return MembershipFactory(role=Role.COORDINATOR).user


@pytest.fixture
def signed_in(client, by):
    client.force_login(by)
    return client


@pytest.fixture
def medley(by):
    """A recording of two works, with one owner."""
    river = add_work(
        fields={"title": "River"},
        writers=[{"party": "Ada Weir", "role": "CA", "performance": Decimal(100)}],
        publishers=[{"party": "Tide Music", "role": "E", "performance": Decimal(100)}],
        by=by,
        now=NOW,
    )
    return add_recording(
        fields={"title": "Water Medley", "artist": "Ærø Øre", "isrc": "USS1Z9900001", "length_seconds": 222},
        works=[river, "Sea"],
        owners=[{"party": "Sluice Records", "share": Decimal("33.34"), "territory": "DE"}],
        by=by,
        now=NOW,
    )


def shown(client, url):
    return as_shown(client.get(url).context["form"])


def works():
    return [row.work.title for row in Recording.objects.get().recorded_works.select_related("work")]


def owners():
    return list(Recording.objects.get().shares.values_list("party__name", "share", "territory"))


def test_list_finds_by_artist_writer_and_isrc(signed_in, medley):
    RecordingFactory(title="Other")
    for text in ("aero ore", "ada weir", "US-S1Z-99-00001", "medley sea"):
        assert list(signed_in.get(reverse("recording-list"), {"search": text}).context["page"]) == [medley]


def test_list_pages_by_fifty(signed_in):
    RecordingFactory.create_batch(51)
    page = signed_in.get(reverse("recording-list"))
    assert len(page.context["page"]) == 50
    assert len(signed_in.get(reverse("recording-list"), {"page": "2"}).context["page"]) == 1


def test_page_shows_both_sides_of_a_medley(signed_in, medley):
    text = signed_in.get(reverse("recording", args=[medley.pk])).content.decode()
    for part in ("River", "Ada Weir", "Tide Music", "Sea", "Sluice Records", "US-S1Z-99-00001", "3:42"):
        assert part in text
    assert "The owners&#x27; shares come to 33.34 %: 66.66 % is unknown." in text
    assert "owners (World excl. DE)" in text


def test_new_recording_with_length_works_and_owners_as_typed(signed_in, by):
    river = add_work(fields={"title": "River", "iswc": "T0345246801"}, by=by, now=NOW)
    url = reverse("recording-new")
    typed = shown(signed_in, url) | {
        "title": "River (Live)",
        "isrc": "us-s1z-99-00001",
        "length_seconds": "3:42",
        "works-0-work": "T-034.524.680-1",
        "owners-0-party": "Sluice Records",
        "owners-0-new": "on",
        "owners-0-share": "33.34",
        "owners-0-territory": "world excl. usa",
    }
    page = signed_in.post(url, typed)
    made = Recording.objects.get()
    assert page.url == reverse("recording", args=[made.pk])
    assert (made.title, made.isrc, made.length_seconds) == ("River (Live)", "USS1Z9900001", 222)
    assert list(made.works.all()) == [river]
    assert owners() == [("Sluice Records", Decimal("33.34"), "World excl. US")]


def test_new_work_of_a_recording_is_added_when_ticked(signed_in):
    url = reverse("recording-new")
    typed = shown(signed_in, url) | {"title": "River", "works-0-work": "River"}
    page = signed_in.post(url, typed)
    assert page.status_code == 422
    assert page.context["form"].sets["works"].forms[0].errors == {
        "work": ["No work is called “River”. Choose one of those suggested, or add the work first."]
    }
    assert "Add as a new work" in page.content.decode()
    signed_in.post(url, typed | {"works-0-new": "on"})
    assert works() == ["River"]


def test_form_as_shown_changes_nothing(signed_in, medley):
    url = reverse("recording-edit", args=[medley.pk])
    assert signed_in.post(url, shown(signed_in, url)).status_code == 302
    assert Recording.objects.get().version == medley.version


def test_works_are_put_in_the_order_typed(signed_in, medley):
    url = reverse("recording-edit", args=[medley.pk])
    signed_in.post(url, shown(signed_in, url) | {"works-0-ORDER": "3", "works-1-ORDER": "1"})
    assert works() == ["Sea", "River"]


def test_work_named_twice_is_refused_beside_its_row(signed_in, medley):
    url = reverse("recording-edit", args=[medley.pk])
    page = signed_in.post(url, shown(signed_in, url) | {"works-2-work": "River"})
    assert page.status_code == 422
    assert page.context["form"].sets["works"].forms[2].errors == {
        "work": ["River stands here twice. A work counts once in a recording."]
    }


def test_bare_recording_is_edited(signed_in):
    url = reverse("recording-edit", args=[RecordingFactory(title="Bare").pk])
    assert signed_in.post(url, shown(signed_in, url) | {"title": "Dressed"}).status_code == 302
    assert Recording.objects.get().title == "Dressed"


@pytest.mark.parametrize("length", ["3", "3:61", "three"])
def test_length_that_cannot_be_read_is_refused_beside_the_field(signed_in, length):
    url = reverse("recording-new")
    page = signed_in.post(url, shown(signed_in, url) | {"title": "River", "length_seconds": length})
    assert page.status_code == 422
    assert set(page.context["form"].errors) == {"length_seconds"}
    assert page.context["form"]["length_seconds"].value() == length


def test_stale_save_is_refused_with_everything_typed(signed_in, medley, by):
    url = reverse("recording-edit", args=[medley.pk])
    typed = shown(signed_in, url) | {"title": "Mine"}
    change_recording(recording=medley, fields={"title": "Theirs"}, version=None, by=by, now=NOW)
    page = signed_in.post(url, typed)
    assert page.status_code == 409
    assert page.context["form"]["title"].value() == "Mine"


def test_delete_and_restore(signed_in, medley):
    page = signed_in.post(reverse("recording-delete", args=[medley.pk]), follow=True)
    restore = reverse("recording-restore", args=[medley.pk])
    assert f'action="{restore}"' in page.content.decode()
    assert signed_in.get(reverse("recording-edit", args=[medley.pk])).status_code == 404
    signed_in.post(restore)
    assert Recording.objects.get().deleted_at is None


def test_used_recording_is_not_deleted(signed_in, medley):
    UsageFactory(recording=medley)
    assert signed_in.post(reverse("recording-delete", args=[medley.pk])).status_code == 409


def test_viewer_reads_and_may_not_write(client, medley):
    client.force_login(MembershipFactory(role=Role.VIEWER).user)
    assert client.get(reverse("recording", args=[medley.pk])).status_code == 200
    for name in ("recording-edit", "recording-delete", "recording-restore"):
        assert client.post(reverse(name, args=[medley.pk])).status_code == 403
    assert client.post(reverse("recording-new"), {"title": "River"}).status_code == 403
    assert Work.objects.count() == 2


@pytest.mark.parametrize("count", [10, 200])
def test_queries_of_the_pages_do_not_grow_with_rows(signed_in, by, count, django_assert_num_queries):
    recording = RecordingFactory(works=[WorkFactory()])
    episode = EpisodeFactory()
    MembershipFactory(user=by, production=episode.season.production)
    for number in range(count):
        UsageFactory(episode=episode, recording=recording, cue_number=str(number), placed=(900000, 900100))
        WorkShareFactory(work=recording.works.get())
        RecordingShareFactory(recording=recording)
        RecordingShareFactory(recording=RecordingFactory(works=[WorkFactory()]))
    with django_assert_num_queries(12):
        signed_in.get(reverse("recording", args=[recording.pk]))
    with django_assert_num_queries(7):
        signed_in.get(reverse("recording-list"))


def test_page_draws_the_licences_of_the_member_s_productions(signed_in, by):
    song = RecordingFactory(title="Sluice Song", works=[WorkFactory(title="Sluice")])
    ours, theirs = EpisodeFactory(), EpisodeFactory()
    MembershipFactory(user=by, production=ours.season.production)
    mine = licensed(UsageFactory(episode=ours, recording=song), Side.SYNC, number="OURS-1")
    option_of(mine, exercisable_until=date(2199, 12, 31))
    other = licensed(UsageFactory(episode=theirs, recording=song), Side.MASTER, number="THEIRS-1")
    text = signed_in.get(reverse("recording", args=[song.pk])).content.decode()
    assert 'aria-label="Licences and options along the years"' in text
    assert (
        'aria-label="granted from 2 Dec 2026 in perpetuity (OURS-1: all media in World); option from 1 Jan 2027' in text
    )
    assert f"{mine.holder.name}, sync of Sluice, {ours.season.production.title}" in text
    assert f'href="{reverse("clearance", args=[mine.pk])}"' in text
    assert "open until 31 Dec 2199" in text
    assert "THEIRS-1" not in text
    assert other.holder.name not in text
    assert f'href="{reverse("clearance", args=[other.pk])}"' not in text
    assert "5,000" not in text


def test_page_without_licences_says_what_to_do(signed_in, medley):
    page = signed_in.get(reverse("recording", args=[medley.pk]))
    assert list(page.context["licences"]) == []
    assert "Nothing is licensed in your productions yet." in page.content.decode()


@pytest.mark.parametrize("count", [1, 20])
def test_queries_of_the_page_do_not_grow_with_licences(signed_in, by, count, django_assert_num_queries):
    song, episode = RecordingFactory(works=[WorkFactory()]), EpisodeFactory()
    MembershipFactory(user=by, production=episode.season.production)
    for number in range(count):
        option_of(
            licensed(UsageFactory(episode=episode, recording=song), Side.SYNC, number=f"L-{number}"),
            exercisable_until=date(2199, 12, 31),
        )
    with django_assert_num_queries(12):
        page = signed_in.get(reverse("recording", args=[song.pk]))
    assert page.context["licences"].paginator.count == 2 * count


def test_long_lists_of_licences_and_uses_are_paged_each_by_itself(signed_in, by, monkeypatch):
    monkeypatch.setattr("supervision.web.views.recordings.PER_PAGE", 1)
    song, episode = RecordingFactory(works=[WorkFactory()]), EpisodeFactory()
    MembershipFactory(user=by, production=episode.season.production)
    for number in range(3):
        licensed(UsageFactory(episode=episode, recording=song), Side.SYNC, number=f"L-{number}")
    page = signed_in.get(reverse("recording", args=[song.pk]), {"licences": 2, "page": 3})
    assert (page.context["licences"].number, page.context["page"].number) == (2, 3)
    text = page.content.decode()
    assert 'href="?licences=3&amp;page=3"' in text
    assert 'href="?licences=2&amp;page=2"' in text
