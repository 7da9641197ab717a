"""Pages of revisions, filings, differences, a season's filing, and profiles."""

import hashlib
import json
import re
from datetime import date
from pathlib import Path

import pypdfium2
import pytest
from django.urls import reverse
from django.utils import timezone

from supervision.models import CueSheetFiling, CueSheetProfile, CueSheetRevision, Episode, Society, Work, WorkShare
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.paper import episode_with_music
from tests.factories.productions import EpisodeFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def episode():
    return episode_with_music()


def signed_in(client, episode, role="supervisor"):
    client.force_login(MembershipFactory(production=episode.season.production, role=role).user)
    return client


@pytest.fixture
def supervisor(client, episode):
    return signed_in(client, episode)


@pytest.fixture
def issued(supervisor):
    supervisor.post(reverse("cue-sheet-issue", args=["WEIR-101"]))
    return CueSheetRevision.objects.get()


def revision_page(number=1):
    return reverse("cue-sheet-revision", args=["WEIR-101", number])


def text(answer):
    return answer.content.decode()


# --- drafts -------------------------------------------------------------------------------------------------------


def test_page_is_its_readers_and_the_sheet_keeps_its_language(supervisor):
    page = reverse("episode-cue-sheet", args=["WEIR-101"])
    french = {"accept-language": "fr"}
    english = text(supervisor.get(page, headers=french))
    assert '<html lang="fr">' in english
    assert re.search(
        r'<div class="facts" lang="en">\s*<dl class="definitions"><div><dt>Production company</dt>', english
    )
    assert "Avant de l’émettre" in english
    french_sheet = text(supervisor.get(f"{page}?profile=european-french", headers=french))
    assert re.search(
        r'<div class="facts" lang="fr">\s*<dl class="definitions"><div><dt>Société de production</dt>', french_sheet
    )


def test_draft_is_set_by_the_profile_asked_for(supervisor):
    page = reverse("episode-cue-sheet", args=["WEIR-101"])
    assert "100 % basis" in text(supervisor.get(f"{page}?profile=european-practice"))
    assert "200 % basis" in text(supervisor.get(page))
    for unknown in ("moon", "%00", "x" * 5000, "Moon%20Base"):
        assert supervisor.get(f"{page}?profile={unknown}").status_code == 404


def test_draft_prints_on_the_paper_of_its_profile(supervisor):
    file = reverse("episode-cue-sheet-file", args=["WEIR-101", "pdf"])
    # US Letter is 11 inches long (ANSI/ASME Y14.1), 792 points; A4 is 297 mm (ISO 216), 842 points.
    for profile, length in (("us-practice", 792), ("international", 842)):
        paper = pypdfium2.PdfDocument(supervisor.get(f"{file}?profile={profile}").content)
        assert round(max(paper[0].get_size())) == length
    assert supervisor.get(f"{file}?profile=moon").status_code == 404


def test_supervisor_issues_with_a_reason_that_is_shown(supervisor):
    WorkShare.objects.filter(interest="writer").update(performance=50)
    address = reverse("cue-sheet-issue", args=["WEIR-101"])
    answer = supervisor.post(address, {"override_reason": "the society <waits>"}, follow=True)
    assert answer.status_code == 200
    assert "the society &lt;waits&gt;" in text(answer)
    assert "Issued with errors" in text(answer)


def test_reason_typed_is_kept_where_it_is_refused(supervisor):
    WorkShare.objects.filter(interest="writer").update(performance=50)
    address = reverse("cue-sheet-issue", args=["WEIR-101"])
    answer = supervisor.post(address, {"override_reason": "x" * 501})
    assert answer.status_code == 422
    assert "x" * 501 in text(answer)


def test_coordinator_is_offered_no_reason(client, episode):
    WorkShare.objects.filter(interest="writer").update(performance=50)
    coordinator = signed_in(client, episode, "coordinator")
    assert "Issue it with its errors" not in text(coordinator.get(reverse("episode-cue-sheet", args=["WEIR-101"])))
    address = reverse("cue-sheet-issue", args=["WEIR-101"])
    assert coordinator.post(address, {"override_reason": "in a hurry"}).status_code == 403


def test_shares_out_of_the_wrong_total_are_offered_and_put_right(supervisor):
    WorkShare.objects.update(performance=50)
    work = Work.objects.get()
    page = reverse("episode-cue-sheet", args=["WEIR-101"])
    assert "Now: Ida Reed 50 %, Reed Harbour Music 50 %" in text(supervisor.get(page))
    address = reverse("cue-sheet-shares", args=["WEIR-101", work.pk])
    assert supervisor.post(address, {"version": work.version}).status_code == 302
    assert set(WorkShare.objects.values_list("performance", flat=True)) == {100}
    again = supervisor.post(address, {"version": "x"}, follow=True)
    assert "need no conversion" in text(again)


# --- filing -------------------------------------------------------------------------------------------------------


def filed(client, **more):
    given = {"society": Society.objects.get(code="052").pk, "filed_on": timezone.localdate(), "means": "email"} | more
    return client.post(revision_page(), given)


def test_revision_is_filed_and_the_filing_taken_back(supervisor, issued):
    assert filed(supervisor).status_code == 302
    shown = text(supervisor.get(revision_page()))
    assert "By e-mail" in shown
    assert "PRS" in shown
    filing = CueSheetFiling.objects.get()
    done = supervisor.post(reverse("cue-sheet-filing-withdraw", args=[filing.pk]), follow=True)
    assert f'action="{reverse("cue-sheet-filing-restore", args=[filing.pk])}"' in text(done)
    assert "filed with nobody yet" in text(supervisor.get(revision_page()))
    again = supervisor.post(reverse("cue-sheet-filing-withdraw", args=[filing.pk]), follow=True)
    assert "taken back already" in text(again)


def test_filing_taken_back_stands_again_for_whoever_may(supervisor, issued):
    filed(supervisor)
    filing = CueSheetFiling.objects.get()
    supervisor.post(reverse("cue-sheet-filing-withdraw", args=[filing.pk]))
    back = reverse("cue-sheet-filing-restore", args=[filing.pk])
    assert "stands again" in text(supervisor.post(back, follow=True))
    assert "is not taken back" in text(supervisor.post(back, follow=True))
    assert CueSheetFiling.objects.get().deleted_at is None
    supervisor.force_login(UserFactory())
    assert supervisor.post(back).status_code == 404


def test_filing_that_cannot_be_keeps_what_was_typed(supervisor, issued):
    answer = filed(supervisor, society="", reference="4711")
    assert answer.status_code == 422
    assert 'value="4711"' in text(answer)
    assert "Choose the society, or give a name below." in text(answer)
    both = filed(supervisor, recipient="Estuary Television")
    assert both.status_code == 422
    assert "with a society, or with a recipient by name, not both" in text(both)
    assert CueSheetFiling.objects.count() == 0


def test_viewer_files_nothing(client, episode, issued):
    viewer = signed_in(client, episode, "viewer")
    assert "Record a filing" not in text(viewer.get(revision_page()))
    assert filed(viewer).status_code == 403


def test_stranger_sees_nothing(client, issued):
    filed(client)
    filing = CueSheetFiling.objects.get()
    client.force_login(UserFactory())
    code = issued.episode.season.production.code
    for address in (revision_page(), reverse("season-cue-sheets", args=[code, 1])):
        assert client.get(address).status_code == 404
    assert client.post(reverse("cue-sheet-filing-withdraw", args=[filing.pk])).status_code == 404


def season_page(episode):
    return reverse("season-cue-sheets", args=[episode.season.production.code, 1])


def test_season_says_with_whom_each_sheet_is_filed_and_what_is_late(supervisor, episode, issued):
    Episode.objects.update(air_date=date(2026, 1, 1))
    assert "1 sheet should have been filed by now." in text(supervisor.get(season_page(episode)))
    filed(supervisor)
    shown = text(supervisor.get(season_page(episode)))
    assert "No sheet is late." in shown
    assert "PRS" in shown


@pytest.mark.parametrize("episodes", [3, 20])
def test_season_costs_the_same_queries(supervisor, episode, episodes, django_assert_num_queries):
    for number in range(episodes):
        EpisodeFactory(season=episode.season, code=f"WEIR-{200 + number}")
    with django_assert_num_queries(8):
        assert supervisor.get(season_page(episode)).status_code == 200


# --- differences --------------------------------------------------------------------------------------------------


@pytest.fixture
def amended(supervisor, issued):
    WorkShare.objects.filter(interest="writer").update(party=WorkShare.objects.get(interest="publisher").party)
    supervisor.post(reverse("cue-sheet-issue", args=["WEIR-101"]))
    return CueSheetRevision.objects.get(number=2)


def test_difference_says_for_whom(supervisor, amended):
    shown = text(supervisor.get(reverse("cue-sheet-difference", args=["WEIR-101", 2])))
    assert "1:00 → 0:00 (−1:00)" in shown
    assert "0:00 → 1:00 (+1:00)" in shown


def test_difference_with_itself_is_none(supervisor, amended):
    page = reverse("cue-sheet-difference", args=["WEIR-101", 2])
    assert "They say the same." in text(supervisor.get(f"{page}?from=2"))


@pytest.mark.parametrize("asked", ["7", "0", "99999999999999999999"])
def test_difference_with_a_revision_that_there_is_not_is_404(supervisor, amended, asked):
    page = reverse("cue-sheet-difference", args=["WEIR-101", 2])
    assert supervisor.get(f"{page}?from={asked}").status_code == 404


def test_first_revision_has_nothing_before_it(supervisor, issued):
    assert supervisor.get(reverse("cue-sheet-difference", args=["WEIR-101", 1])).status_code == 404


def test_difference_is_printed_as_csv(supervisor, amended):
    answer = supervisor.get(reverse("cue-sheet-difference-file", args=["WEIR-101", 2]))
    rows = answer.content.decode("utf-8-sig").splitlines()
    assert rows[0] == "about,name,side,society,what,before,after,seconds"
    assert "party,Ida Reed,writer,,credited seconds,60,0,'-60" in rows


# --- profiles -----------------------------------------------------------------------------------------------------


def profile_form(client, **more):
    page = client.get(f"{reverse('cue-sheet-profile-new')}?copy=european-practice")
    form = page.context["form"]
    data = {name: field.value() for name, field in ((name, form[name]) for name in form.fields)}
    return {name: value for name, value in data.items() if value not in (None, False)} | more


def test_profile_is_copied_changed_and_removed(supervisor):
    data = profile_form(supervisor, code="north-sea", name="North Sea", code_theme="Sig")
    assert supervisor.post(reverse("cue-sheet-profile-new"), data).status_code == 302
    page = reverse("cue-sheet-profile", args=["north-sea"])
    assert "Sig" in text(supervisor.get(page))
    edit = reverse("cue-sheet-profile-edit", args=["north-sea"])
    assert supervisor.post(edit, data | {"name": "North Sea again", "version": 1}).status_code == 302
    assert "North Sea again" in text(supervisor.get(reverse("cue-sheet-profiles")))
    assert supervisor.post(edit, data | {"version": 1}).status_code == 409
    gone = supervisor.post(reverse("cue-sheet-profile-remove", args=["north-sea"]), follow=True)
    assert supervisor.get(page).status_code == 404

    back = reverse("cue-sheet-profile-restore", args=[CueSheetProfile.objects.get().pk])
    assert f'action="{back}"' in text(gone)
    assert "North Sea again is back." in text(supervisor.post(back, follow=True))
    assert supervisor.get(page).status_code == 200
    assert "is back already." in text(supervisor.post(back, follow=True))


def test_profile_whose_code_is_taken_meanwhile_stays_away(supervisor):
    data = profile_form(supervisor, code="north-sea", name="North Sea")
    supervisor.post(reverse("cue-sheet-profile-new"), data)
    first = CueSheetProfile.objects.get()
    supervisor.post(reverse("cue-sheet-profile-remove", args=["north-sea"]))
    supervisor.post(reverse("cue-sheet-profile-new"), data)
    back = reverse("cue-sheet-profile-restore", args=[first.pk])
    assert "Another profile has this code already." in text(supervisor.post(back, follow=True))
    first.refresh_from_db()
    assert first.deleted_at is not None


def test_profile_comes_back_by_those_who_manage_a_production_alone(client, supervisor):
    supervisor.post(reverse("cue-sheet-profile-new"), profile_form(supervisor, code="north-sea", name="North Sea"))
    row = CueSheetProfile.objects.get()
    supervisor.post(reverse("cue-sheet-profile-remove", args=["north-sea"]))
    client.force_login(UserFactory())
    assert client.post(reverse("cue-sheet-profile-restore", args=[row.pk])).status_code == 403


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"code": "North Sea"}, "is no code of a profile"),
        ({"code": "us-practice"}, "is a profile of the house"),
        ({"filing_basis": "days", "filing_count": ""}, "takes a number from 1 to 3650"),
        ({"code_logo": ""}, "This field is required"),
    ],
)
def test_profile_that_cannot_be_keeps_what_was_typed(supervisor, wrong, sentence):
    data = profile_form(supervisor, code="north-sea", name="A name of my own") | wrong
    answer = supervisor.post(reverse("cue-sheet-profile-new"), data)
    assert answer.status_code == 422
    assert sentence in text(answer)
    assert "A name of my own" in text(answer)
    assert CueSheetProfile.objects.count() == 0


def test_profile_of_the_house_cannot_be_changed(supervisor):
    assert supervisor.get(reverse("cue-sheet-profile-edit", args=["us-practice"])).status_code == 409


def test_viewer_reads_profiles_and_makes_none(client, episode):
    viewer = signed_in(client, episode, "viewer")
    assert "Copy" not in text(viewer.get(reverse("cue-sheet-profile", args=["us-practice"])))
    assert viewer.get(reverse("cue-sheet-profile-new")).status_code == 403


def test_programme_is_asked_for_what_its_sheet_says(supervisor, episode):
    page = reverse("episode-edit", args=["WEIR-101"])
    form = supervisor.get(page).context["form"]
    data = {name: form[name].value() or "" for name in form.fields}
    told = {
        "alternative_titles": "Marée haute [fr]",
        "broadcast_country": "fr",
        "director": "Ida Person",
        "sheet_profile": "european-french",
        "partial_reason": "Act three is missing.",
    }
    assert supervisor.post(page, data | told).status_code == 302
    shown = text(supervisor.get(reverse("episode-cue-sheet", args=["WEIR-101"])))
    for said in ("Marée haute", "Ida Person", "Act three is missing."):
        assert said in shown
    assert "Marée haute [fr]" in text(supervisor.get(page))
    answer = supervisor.post(page, data | told | {"alternative_titles": "[fr]"})
    assert answer.status_code == 422
    assert "Line 1 has no title" in text(answer)
    assert '<details class="way" open>' in text(answer)


# --- sheets stored before there were profiles ---------------------------------------------------------------------

STORED = (Path(__file__).parents[2] / "fixtures/sheets/cue-sheet-1-stored.json").read_bytes()


@pytest.fixture
def stored(episode):
    return CueSheetRevision.objects.create(
        episode=episode,
        cut=episode.current_cut,
        number=1,
        issued_at=timezone.now(),
        issued_by=UserFactory(),
        payload=json.loads(STORED),
        digest=hashlib.sha256(STORED).hexdigest(),
    )


def test_sheet_of_the_first_schema_is_shown_filed_and_printed_as_it_was(supervisor, stored):
    shown = text(supervisor.get(revision_page()))
    assert "set by “House form”" in shown
    assert "Night Barge 1" in shown
    assert filed(supervisor).status_code == 302
    for form in ("pdf", "csv", "json"):
        file = supervisor.get(reverse("cue-sheet-revision-file", args=["WEIR-101", 1, form]))
        assert file.status_code == 200
    assert hashlib.sha256(file.content).hexdigest() == stored.digest


def test_sheet_of_the_first_schema_is_amended_by_a_new_one(supervisor, stored):
    supervisor.post(reverse("cue-sheet-issue", args=["WEIR-101"]))
    shown = text(supervisor.get(reverse("cue-sheet-difference", args=["WEIR-101", 2])))
    assert "House form" in shown
    assert "Night Barge 1" in shown


@pytest.mark.parametrize("locked", [False, True])
def test_cut_says_for_which_version_it_is_also_when_it_is_locked(supervisor, episode, locked):
    cut = episode.current_cut
    cut.locked = locked
    cut.save()
    page = reverse("cut-edit", args=[cut.pk])
    told = {"label": cut.label, "dated": "", "made_for": "syndicated", "version": cut.version}
    assert supervisor.post(page, told).status_code == 302
    assert "Syndicated version" in text(supervisor.get(reverse("episode-cue-sheet", args=["WEIR-101"])))
    assert "Syndicated version" in text(supervisor.get(reverse("episode-cuts", args=["WEIR-101"])))
    assert supervisor.post(page, told).status_code == 409
    renamed = supervisor.post(page, told | {"label": "New", "version": 2})
    assert renamed.status_code == (422 if locked else 302)


def test_viewer_names_no_cut(client, episode):
    page = reverse("cut-edit", args=[episode.current_cut.pk])
    assert signed_in(client, episode, "viewer").get(page).status_code == 403


def test_draft_says_what_issuing_it_would_change(supervisor, issued):
    page = reverse("cue-sheet-draft-difference", args=["WEIR-101"])
    assert page in text(supervisor.get(reverse("episode-cue-sheet", args=["WEIR-101"])))
    assert "They say the same." in text(supervisor.get(page))
    Work.objects.update(title="Evening Tide, revised")
    shown = text(supervisor.get(page))
    assert "Draft of today against revision 1" in shown
    assert "Evening Tide, revised" in shown
    assert "British and European practice" in text(supervisor.get(f"{page}?profile=european-practice"))


def test_draft_is_compared_with_nothing_before_the_first_revision(supervisor):
    assert supervisor.get(reverse("cue-sheet-draft-difference", args=["WEIR-101"])).status_code == 404
