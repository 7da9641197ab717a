"""The pages and the API of a cue sheet that is read back."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from supervision.models import CueSheetReading, Usage, Work
from supervision.rules.cue_sheet_setting import set_sheet
from supervision.rules.frozen import canonical, to_plain
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.cue_sheets import facts, use
from tests.factories.productions import EpisodeFactory

pytestmark = pytest.mark.django_db

READ = "/episodes/WEIR-101/cue-sheet/read/"
API = "/api/v1/episodes/WEIR-101/cue-sheet/readings/"
THEIRS = b"Cue,Title,Composer,Duration\n1M1,Evening Tide,Ida Reed,0:33\n"


@pytest.fixture
def episode():
    return EpisodeFactory(code="WEIR-101", number="101")


def sign_in(client, episode, role=Role.SUPERVISOR):
    client.force_login(MembershipFactory(production=episode.season.production, role=role).user)
    return client


def ours(**header):
    return SimpleUploadedFile("sheet.json", canonical(to_plain(set_sheet(facts(use(), **header)))))


def theirs(data=THEIRS):
    return SimpleUploadedFile("theirs.csv", data)


def test_sheet_of_ours_is_previewed_and_accepted(client, episode):
    supervisor = sign_in(client, episode)
    assert READ in supervisor.get("/episodes/WEIR-101/cue-sheet/").content.decode()
    answer = supervisor.post(READ, {"file": ours()}, follow=True)
    text = answer.content.decode()
    for said in ("our own JSON", "Evening Tide", "10:00:00:00", "Ida Reed", "new", "Add to catalogue and log"):
        assert said in text
    assert (Usage.objects.count(), Work.objects.count()) == (0, 0)
    row = CueSheetReading.objects.get()
    assert f"/cue-sheet-readings/{row.pk}/" in supervisor.get(READ).content.decode()
    done = supervisor.post(f"/cue-sheet-readings/{row.pk}/accept/", {"version": row.version}, follow=True)
    assert "Added: 1 usage, 1 work, 2 parties." in done.content.decode()
    assert Usage.objects.get().work.title == "Evening Tide"
    again = supervisor.post(f"/cue-sheet-readings/{row.pk}/accept/")
    assert again.status_code == 409
    assert "was accepted already" in again.content.decode()


def test_reading_is_told_in_the_language_of_whoever_looks_at_it(client, episode):
    supervisor = sign_in(client, episode)
    page = supervisor.post(READ, {"file": ours()}, follow=True).redirect_chain[-1][0]
    french = supervisor.get(page, headers={"accept-language": "fr"}).content.decode()
    assert "Lu comme : JSON de la maison." in french.replace("\N{NO-BREAK SPACE}", " ")
    assert "Read as our own JSON." in supervisor.get(page).content.decode()
    refused = supervisor.post(
        READ, {"file": SimpleUploadedFile("x.json", b"{")}, headers={"accept-language": "fr"}
    ).content.decode()
    assert "Le fichier commence comme du JSON" in refused


@pytest.mark.parametrize(("number", "title", "told"), [("102", "High Water", True), ("101", "Low Water", False)])
def test_sheet_of_another_episode_of_the_production_is_told(client, episode, number, title, told):
    EpisodeFactory(season=episode.season, code="WEIR-102", number="102", title="High Water")
    supervisor = sign_in(client, episode)
    answer = supervisor.post(READ, {"file": ours(episode_number=number, episode_title=title)}, follow=True)
    assert ("The sheet says it is of 102 High Water." in answer.content.decode()) == told


def test_columns_are_put_right(client, episode):
    supervisor = sign_in(client, episode)
    supervisor.post(READ, {"file": theirs(b"A,B\nx,Evening Tide\n")})
    row = CueSheetReading.objects.get()
    url = f"/cue-sheet-readings/{row.pk}/"
    assert "Which column is which" in supervisor.get(url).content.decode()
    twice = supervisor.post(url, {"version": row.version, "column-0": "title", "column-1": "title"})
    assert twice.status_code == 422
    assert supervisor.post(url, {"version": row.version, "column-1": "title"}).status_code == 302
    stale = supervisor.post(url, {"version": row.version, "column-0": "title"})
    assert stale.status_code == 409
    assert "Evening Tide" in supervisor.get(url).content.decode()


def test_file_that_cannot_be_read_is_refused_beside_its_field(client, episode):
    supervisor = sign_in(client, episode)
    page = supervisor.post(READ, {"file": SimpleUploadedFile("x.json", b"{")})
    assert page.status_code == 422
    assert "begins as JSON and is none" in page.content.decode()
    assert supervisor.post(READ, {}).status_code == 422


def test_draft_is_dropped(client, episode):
    supervisor = sign_in(client, episode)
    supervisor.post(READ, {"file": ours()})
    row = CueSheetReading.objects.get()
    for said in ("is dropped; nothing was added", "was dropped already"):
        assert said in supervisor.post(f"/cue-sheet-readings/{row.pk}/drop/", follow=True).content.decode()


def test_dropped_draft_is_taken_up_again(client, episode):
    supervisor = sign_in(client, episode)
    supervisor.post(READ, {"file": ours()})
    row = CueSheetReading.objects.get()
    back = f"/cue-sheet-readings/{row.pk}/restore/"
    told = supervisor.post(f"/cue-sheet-readings/{row.pk}/drop/", follow=True)
    assert f'action="{back}"' in told.content.decode()
    viewer = sign_in(client, episode, Role.VIEWER)
    assert viewer.post(back).status_code == 403
    client.force_login(UserFactory())
    assert client.post(back).status_code == 404
    supervisor = sign_in(client, episode)
    assert supervisor.post(back).status_code == 302
    assert CueSheetReading.objects.get().state == "draft"
    assert "is not dropped" in supervisor.post(back, follow=True).content.decode()


def test_who_may_not(client, episode):
    sign_in(client, episode).post(READ, {"file": ours()})
    row = CueSheetReading.objects.get()
    viewer = sign_in(client, episode, Role.VIEWER)
    assert viewer.get(READ).status_code == 403
    page = viewer.get(f"/cue-sheet-readings/{row.pk}/")
    assert (page.status_code, "Add to catalogue and log" in page.content.decode()) == (200, False)
    assert viewer.post(f"/cue-sheet-readings/{row.pk}/accept/").status_code == 403
    client.force_login(UserFactory())
    assert client.get(f"/cue-sheet-readings/{row.pk}/").status_code == 404
    assert client.get(f"/api/v1/cue-sheet-readings/{row.pk}/").status_code == 404


def test_over_the_api(client, episode):
    supervisor = sign_in(client, episode, Role.COORDINATOR)
    made = supervisor.post(API, {"file": theirs()})
    assert made.status_code == 201
    told = made.json()
    assert told["columns"] == ["cue_number", "title", "writers", "duration"]
    assert [(each["name"], each["how"], each["id"]) for each in told["works"]] == [("Evening Tide", "new", None)]
    url = f"/api/v1/cue-sheet-readings/{told['id']}/"
    mapped = supervisor.put(url, {"columns": ["", "title", "writers", ""]}, content_type="application/json")
    assert (mapped.status_code, mapped.json()["usages"][0]["number"]) == (200, "")
    done = supervisor.post(f"{url}accept/", {}, content_type="application/json")
    assert done.json() == {"usages": 1, "works": 1, "recordings": 0, "parties": 1}
    assert supervisor.get(url).json()["state"] == "accepted"
    assert supervisor.delete(url).status_code == 409
    second = supervisor.post(API, {"file": ours()}).json()
    assert supervisor.delete(f"/api/v1/cue-sheet-readings/{second['id']}/").status_code == 204
    broken = supervisor.post(API, {"file": SimpleUploadedFile("x", b"{")})
    assert (broken.status_code, broken.json()["mend"]) == (400, "Export it anew.")
