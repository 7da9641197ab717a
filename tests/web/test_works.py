from datetime import UTC, datetime
from decimal import Decimal

import pytest
from django.urls import reverse

from supervision.actions.parties import add_party
from supervision.actions.works import add_work, change_work, remove_work
from supervision.models import Party, Work
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory
from tests.factories.catalogue import RecordingFactory, WorkFactory, WorkShareFactory
from tests.factories.productions import EpisodeFactory
from tests.factories.spotting import UsageFactory
from tests.web.shown_forms import as_shown

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 11, 25, 9, 30, tzinfo=UTC)


@pytest.fixture
def by():
    return MembershipFactory(role=Role.COMPOSER).user


@pytest.fixture
def signed_in(client, by):
    client.force_login(by)
    return client


@pytest.fixture
def viewer(client):
    client.force_login(MembershipFactory(role=Role.VIEWER).user)
    return client


@pytest.fixture
def work(by):
    add_party(fields={"name": "Tide Music"}, by=by, now=NOW)
    return add_work(
        fields={"title": "Low Water", "iswc": "T0345246801"},
        alternative_titles=[{"title": "Ebbe", "language": "de"}],
        writers=[{"party": "Ada Weir", "role": "CA", "performance": Decimal("33.34")}],
        publishers=[{"party": "Tide Music", "role": "E", "performance": Decimal(100), "administrator": "Sluice"}],
        by=by,
        now=NOW,
    )


def shown(client, url):
    return as_shown(client.get(url).context["form"])


def shares():
    return list(
        Work.objects.get().shares.values_list("party__name", "role", "performance", "control", "administrator__name")
    )


def test_stranger_is_sent_to_sign_in(client):
    assert client.get(reverse("work-list")).status_code == 302


def test_list_finds_by_part_of_the_title(signed_in, work, by):
    add_work(fields={"title": "Something Else"}, by=by, now=NOW)
    page = signed_in.get(reverse("work-list"), {"search": "LÖW wat"})
    assert [row.title for row in page.context["page"]] == ["Low Water"]
    assert "T-034.524.680-1" in page.content.decode()


def test_list_answers_htmx_with_the_results_alone(signed_in, work):
    page = signed_in.get(reverse("work-list"), {"search": "nothing"}, headers={"HX-Request": "true"})
    assert page.content.decode().strip().startswith('<div id="results"')
    assert "No work fits" in page.content.decode()


def test_list_with_a_filter_that_cannot_be_read_says_so(signed_in):
    page = signed_in.get(reverse("work-list"), {"party": "x"})
    assert page.status_code == 422


def test_list_shows_deleted_works_only_when_asked(signed_in, work, by):
    remove_work(work=work, by=by, now=NOW)
    assert list(signed_in.get(reverse("work-list")).context["page"]) == []
    assert list(signed_in.get(reverse("work-list"), {"deleted": "on"}).context["page"]) == [work]


def test_page_shows_both_sides_of_the_split_and_what_is_unknown(signed_in, work):
    text = signed_in.get(reverse("work", args=[work.pk])).content.decode()
    for part in ("Ada Weir", "composer and author", "Tide Music", "original publisher", "Sluice", "Ebbe"):
        assert part in text
    assert "66.66\N{NARROW NO-BREAK SPACE}%</span> unknown" in text
    assert "The writers&#x27; shares come to 33.34 %: 66.66 % is unknown." in text


def test_page_shows_uses_of_the_persons_productions_alone(signed_in, work, by):
    episode = EpisodeFactory(code="WEIR-104", title="Slack")
    MembershipFactory(user=by, production=episode.season.production)
    UsageFactory(episode=episode, recording=RecordingFactory(works=[work]), cue_number="2M7", placed=(900000, 900825))
    UsageFactory(work=work, cue_number="9M9")
    text = signed_in.get(reverse("work", args=[work.pk])).content.decode()
    assert reverse("episode-log", args=["WEIR-104"]) in text
    assert "2M7" in text
    assert "0:33" in text
    assert "9M9" not in text


def test_page_warns_of_an_identifier_that_an_import_brought(signed_in):
    work = WorkFactory(iswc="T0345246802")
    text = signed_in.get(reverse("work", args=[work.pk])).content.decode()
    assert "The check digit 2 does not fit the rest, which gives 1." in text


def test_unknown_work_is_not_found(signed_in):
    assert signed_in.get(reverse("work", args=[999])).status_code == 404


def test_new_work_with_shares_as_typed(signed_in, by):
    add_party(fields={"name": "Ada Weir"}, by=by, now=NOW)
    typed = shown(signed_in, reverse("work-new")) | {
        "title": "High Water",
        "iswc": "t 034 524 680 1",
        "writers-0-party": "ada weir",
        "writers-0-performance": "33,34",
        "writers-1-party": "Ben Lock",
        "writers-1-new": "on",
        "writers-1-performance": "66.66",
        "writers-1-control": "10",
        "writers-1-role": "A",
    }
    page = signed_in.post(reverse("work-new"), typed)
    made = Work.objects.get()
    assert page.url == reverse("work", args=[made.pk])
    assert (made.title, made.iswc) == ("High Water", "T0345246801")
    assert shares() == [
        ("Ada Weir", "CA", Decimal("33.34"), Decimal("33.34"), None),
        ("Ben Lock", "A", Decimal("66.66"), 10, None),
    ]


def test_form_as_shown_changes_nothing(signed_in, work):
    url = reverse("work-edit", args=[work.pk])
    assert signed_in.post(url, shown(signed_in, url)).status_code == 302
    assert Work.objects.get().version == work.version
    assert shares() == [
        ("Ada Weir", "CA", Decimal("33.34"), 0, None),
        ("Tide Music", "E", 100, 100, "Sluice"),
    ]


def test_arranged_work_is_picked_by_iswc_and_shown_by_title(signed_in, work):
    url = reverse("work-new")
    signed_in.post(url, shown(signed_in, url) | {"title": "Low Water (brass)", "arrangement_of": "T-034.524.680-1"})
    made = Work.objects.get(title="Low Water (brass)")
    assert made.arrangement_of == work
    assert shown(signed_in, reverse("work-edit", args=[made.pk]))["arrangement_of"] == "Low Water"
    assert (
        f'href="{reverse("work", args=[work.pk])}"' in signed_in.get(reverse("work", args=[made.pk])).content.decode()
    )


def test_removed_row_goes_and_the_others_stay(signed_in, work):
    url = reverse("work-edit", args=[work.pk])
    signed_in.post(url, shown(signed_in, url) | {"writers-0-DELETE": "on", "alternative_titles-0-DELETE": "on"})
    assert shares() == [("Tide Music", "E", 100, 100, "Sluice")]
    assert Work.objects.get().alternative_titles.count() == 0


def test_another_row_keeps_what_was_typed_and_saves_nothing(signed_in):
    url = reverse("work-new")
    typed = shown(signed_in, url) | {"writers-0-party": "Nobody Yet", "iswc": "nonsense", "add_row": "writers"}
    page = signed_in.post(url, typed)
    form = page.context["form"]
    assert page.status_code == 200
    assert len(form.sets["writers"].forms) == 3
    assert (form["iswc"].value(), form.sets["writers"].forms[0]["party"].value()) == ("nonsense", "Nobody Yet")
    assert form.sets["writers"].forms[2]["territory"].value() == "World"
    assert 'class="form-errors' not in page.content.decode()
    assert Work.objects.count() == 0


def test_another_row_stops_at_two_hundred(signed_in):
    url = reverse("work-new")
    page = signed_in.post(url, shown(signed_in, url) | {"writers-TOTAL_FORMS": "200", "add_row": "writers"})
    assert len(page.context["form"].sets["writers"].forms) == 200


def test_every_error_stands_beside_its_field_and_nothing_is_lost(signed_in):
    url = reverse("work-new")
    typed = shown(signed_in, url) | {
        "title": "",
        "iswc": "T-034.524.680-2",
        "arrangement_of": "No Such Work",
        "writers-0-party": "Nobody Yet",
        "writers-0-performance": "33.3333333",
        "writers-0-territory": "Nowhereland",
        "publishers-0-performance": "101",
    }
    page = signed_in.post(url, typed)
    form = page.context["form"]
    writer, publisher = form.sets["writers"].forms[0], form.sets["publishers"].forms[0]
    assert page.status_code == 422
    assert set(form.errors) == {"title", "iswc", "arrangement_of", "__all__"}
    (iswc_error,) = form.errors["iswc"]
    assert iswc_error.startswith("The check digit 2 does not fit the rest, which gives 1. Compare it with the source")
    assert set(writer.errors) == {"party", "performance", "territory"}
    assert writer.errors["performance"] == [
        "33.3333333 has more than 6 decimals. Write what the contract says, as 33.33."
    ]
    assert publisher.errors == {
        "party": ["This field is required."],
        "performance": ["101 is more than there is. A share lies between 0 and 100 percent."],
    }
    assert 'href="#id_writers-0-performance">Writer 1, Performance %</a>' in page.content.decode()
    assert {name: as_shown(form).get(name, "") for name in typed} == typed
    assert (Work.objects.count(), Party.objects.count()) == (0, 0)


def test_refusal_of_the_action_stands_beside_the_row(signed_in, work):
    url = reverse("work-edit", args=[work.pk])
    twice = {"writers-1-party": "Ada Weir", "writers-1-role": "CA", "writers-1-performance": "5"}
    page = signed_in.post(url, shown(signed_in, url) | twice)
    assert page.status_code == 422
    assert page.context["form"].sets["writers"].forms[0].errors == {
        "party": ["Ada Weir stands here twice as CA for World. Add the shares up in one row."]
    }


def test_iswc_of_another_work_is_refused_beside_the_field(signed_in, work):
    url = reverse("work-new")
    page = signed_in.post(url, shown(signed_in, url) | {"title": "Other", "iswc": "T0345246801"})
    assert page.status_code == 422
    assert page.context["form"].errors["iswc"] == [
        "“Low Water” has this ISWC already. Use that one, or compare the identifier with its source."
    ]


def test_namesakes_are_asked_to_be_told_apart(signed_in, by):
    one = add_party(fields={"name": "Jo Lock"}, by=by, now=NOW)
    two = add_party(fields={"name": "Jo Lock"}, by=by, now=NOW)
    url = reverse("work-new")
    typed = shown(signed_in, url) | {
        "title": "River",
        "writers-0-party": "Jo Lock",
        "writers-0-performance": "100",
    }
    page = signed_in.post(url, typed)
    assert page.context["form"].sets["writers"].forms[0].errors["party"] == [
        f"Several are called “Jo Lock”. Write “Jo Lock #{one.pk}” or “Jo Lock #{two.pk}”, or the IPI name number."
    ]
    signed_in.post(url, typed | {"writers-0-party": f"Jo Lock #{two.pk}"})
    edit = shown(signed_in, reverse("work-edit", args=[Work.objects.get().pk]))
    assert edit["writers-0-party"] == f"Jo Lock #{two.pk}"


def test_stale_save_is_refused_with_everything_typed(signed_in, work, by):
    url = reverse("work-edit", args=[work.pk])
    typed = shown(signed_in, url) | {"title": "Mine", "writers-0-performance": "50"}
    change_work(work=work, fields={"title": "Theirs"}, version=work.version, by=by, now=NOW)
    page = signed_in.post(url, typed)
    form = page.context["form"]
    assert page.status_code == 409
    assert "Somebody else changed Theirs after you opened it." in form.non_field_errors()[0]
    assert (form["title"].value(), form.sets["writers"].forms[0]["performance"].value()) == ("Mine", "50")
    assert Work.objects.get().title == "Theirs"


def test_tampered_row_count_is_an_error_and_no_crash(signed_in):
    url = reverse("work-new")
    for total in ("", "x", "9999999"):
        page = signed_in.post(url, shown(signed_in, url) | {"title": "River", "writers-TOTAL_FORMS": total})
        assert page.status_code == 422
        page = signed_in.post(url, shown(signed_in, url) | {"writers-TOTAL_FORMS": total, "add_row": "writers"})
        assert page.status_code == 200
    assert Work.objects.count() == 0


def test_delete_offers_undo_and_undo_restores(signed_in, work):
    page = signed_in.post(reverse("work-delete", args=[work.pk]), follow=True)
    restore = reverse("work-restore", args=[work.pk])
    assert f'action="{restore}"' in page.content.decode()
    assert Work.objects.get().deleted_at is not None
    assert signed_in.get(reverse("work-edit", args=[work.pk])).status_code == 404
    assert f'action="{restore}"' in signed_in.get(reverse("work", args=[work.pk])).content.decode()
    assert signed_in.post(restore).url == reverse("work", args=[work.pk])
    assert Work.objects.get().deleted_at is None


def test_used_work_is_not_deleted_and_the_page_names_where(signed_in, work):
    RecordingFactory(title="River", works=[work])
    page = signed_in.post(reverse("work-delete", args=[work.pk]))
    assert page.status_code == 409
    assert "the recording “River”" in page.content.decode()


@pytest.mark.parametrize(
    ("before", "back"), [("http://testserver/catalogue/works/1/", True), ("http://evil.example/", False)]
)
def test_refused_deed_leads_back_to_the_page_on_which_it_was_done(signed_in, work, before, back):
    RecordingFactory(works=[work])
    page = signed_in.post(reverse("work-delete", args=[work.pk]), headers={"referer": before}).content.decode()
    assert (f'href="{before}"' in page, "Back to the page before" in page) == (back, back)


def test_deleting_by_following_a_link_is_not_possible(signed_in, work):
    assert signed_in.get(reverse("work-delete", args=[work.pk])).status_code == 405


def test_viewer_reads_and_may_not_write(viewer, work):
    text = viewer.get(reverse("work", args=[work.pk])).content.decode()
    assert reverse("work-edit", args=[work.pk]) not in text
    for url in (reverse("work-new"), reverse("work-edit", args=[work.pk])):
        assert viewer.get(url).status_code == 403
        assert viewer.post(url, {"title": "Other"}).status_code == 403
    assert viewer.post(reverse("work-delete", args=[work.pk])).status_code == 403
    assert Work.objects.get().title == "Low Water"


@pytest.mark.parametrize("count", [10, 200])
def test_queries_of_the_pages_do_not_grow_with_rows(signed_in, by, count, django_assert_num_queries):
    work = WorkFactory(title="Low Water")
    episode = EpisodeFactory()
    MembershipFactory(user=by, production=episode.season.production)
    for number in range(count):
        recording = RecordingFactory(works=[work])
        UsageFactory(episode=episode, recording=recording, cue_number=str(number), placed=(900000, 900100))
        WorkShareFactory(work=work)
        WorkShareFactory(work=WorkFactory(title=f"River {number}"), writer=True)
    with django_assert_num_queries(12):
        signed_in.get(reverse("work", args=[work.pk]))
    with django_assert_num_queries(9):
        signed_in.get(reverse("work-list"))


def test_work_with_many_recordings_shows_the_first_and_the_way_to_all(signed_in):
    work = WorkFactory()
    for _ in range(21):
        RecordingFactory(works=[work])
    page = signed_in.get(reverse("work", args=[work.pk]))
    assert len(page.context["recordings"]) == 20
    assert f'href="{reverse("recording-list")}?work={work.pk}">All 21 recordings</a>' in page.content.decode()


def test_list_narrowed_to_a_party_says_so(signed_in):
    share = WorkShareFactory(work=WorkFactory(title="Sluice"))
    text = signed_in.get(reverse("work-list"), {"party": share.party.pk}).content.decode()
    assert f'In which <a href="{reverse("party", args=[share.party.pk])}"><bdi>{share.party}</bdi></a> has or' in text


def test_recordings_of_a_work_say_whose_they_are(signed_in):
    work = WorkFactory(title="Sluice")
    text = signed_in.get(reverse("recording-list"), {"work": work.pk}).content.decode()
    assert f'Of the work <a href="{reverse("work", args=[work.pk])}"><bdi>Sluice</bdi></a>.' in text
