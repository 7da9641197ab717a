"""Societies, parties, works and recordings over the API."""

from datetime import UTC, datetime

import pytest
from rest_framework.test import APIClient

from supervision.actions.search_keys import refresh_all
from supervision.models import Party, Recording, Work
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, client_of
from tests.factories.catalogue import (
    ContactFactory,
    PartyFactory,
    RecordingFactory,
    RecordingShareFactory,
    WorkFactory,
    WorkShareFactory,
)
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 11, 25, 9, 30, tzinfo=UTC)


def caller(role):
    return client_of(MembershipFactory(role=role).user)


@pytest.fixture
def api():
    return caller(Role.COORDINATOR)


@pytest.fixture
def viewer():
    return caller(Role.VIEWER)


@pytest.fixture
def ada():
    return PartyFactory(name="Ada Weir")


@pytest.fixture
def tide():
    return PartyFactory(name="Tide Music")


def problem(response):
    assert response["Content-Type"] == "application/problem+json"
    return response.status_code, response.json().get("code"), response.json().get("fields")


@pytest.mark.parametrize("noun", ["societies", "parties", "works", "recordings"])
def test_without_token_nothing_is_told(noun):
    assert APIClient().get(f"/api/v1/{noun}/").status_code == 401


def test_society_is_read_by_its_cisac_code_and_not_written(api):
    """CISAC CWR08-3615R1 lookup table: 052 is PRS."""
    assert api.get("/api/v1/societies/052/").json() == {"code": "052", "name": "PRS", "country": "GB"}
    assert api.post("/api/v1/societies/", {"code": "999", "name": "X"}).status_code == 405


def test_party_with_contacts_is_written_and_read(api):
    made = api.post(
        "/api/v1/parties/",
        {
            "name": "Tide Music",
            "ipi": "14107338",
            "society": "052",
            "contacts": [{"name": "Licensing desk", "email": "desk@example.org"}],
        },
    )
    assert made.status_code == 201
    told = made.json()
    assert told == {
        "id": Party.objects.get().pk,
        "name": "Tide Music",
        "kind": "organisation",
        "ipi": "00014107338",
        "isni": "",
        "society": "052",
        "is_ours": False,
        "notes": "",
        "contacts": [
            {"name": "Licensing desk", "department": "", "email": "desk@example.org", "phone": "", "address": ""}
        ],
        "demo": False,
        "deleted_at": None,
        "version": told["version"],
    }
    assert api.get(f"/api/v1/parties/{told['id']}/").json() == told


def test_contacts_that_are_not_sent_stay(api, tide):
    ContactFactory(party=tide)
    url = f"/api/v1/parties/{tide.pk}/"
    assert [row["name"] for row in api.patch(url, {"name": "Tide"}).json()["contacts"]] == ["Licensing desk"]
    assert api.patch(url, {"contacts": []}).json()["contacts"] == []


def test_work_with_nested_shares_is_written_and_read_exactly(api, ada, tide):
    sluice = PartyFactory(name="Sluice")
    made = api.post(
        "/api/v1/works/",
        {
            "title": "Low Water",
            "iswc": "T-034.524.680-1",
            "alternative_titles": [{"title": "Ebbe", "language": "de"}],
            "writers": [{"party": ada.pk, "role": "CA", "performance": "33.34"}],
            "publishers": [
                {
                    "party": tide.pk,
                    "role": "E",
                    "performance": "33.333333",
                    "administrator": sluice.pk,
                    "territory": "usa",
                }
            ],
        },
    )
    assert made.status_code == 201
    told = made.json()
    assert (told["title"], told["iswc"]) == ("Low Water", "T0345246801")
    assert told["alternative_titles"] == [{"title": "Ebbe", "language": "de"}]
    assert told["writers"] == [
        {
            "party": ada.pk,
            "party_name": "Ada Weir",
            "role": "CA",
            "performance": "33.34",
            "control": "0",
            "territory": "World",
            "administrator": None,
            "administrator_name": None,
        }
    ]
    assert told["publishers"] == [
        {
            "party": tide.pk,
            "party_name": "Tide Music",
            "role": "E",
            "performance": "33.333333",
            "control": "33.333333",
            "territory": "US",
            "administrator": sluice.pk,
            "administrator_name": "Sluice",
        }
    ]
    assert api.get(f"/api/v1/works/{told['id']}/").json() == told


def test_patch_of_one_side_leaves_the_other(api, ada, tide):
    work = WorkFactory()
    WorkShareFactory(work=work, party=tide)
    url = f"/api/v1/works/{work.pk}/"
    told = api.patch(url, {"writers": [{"party": ada.pk, "role": "C", "performance": "100"}]}).json()
    assert [row["party"] for row in told["writers"]] == [ada.pk]
    assert [row["party"] for row in told["publishers"]] == [tide.pk]


def test_stale_patch_is_a_conflict(api):
    work = WorkFactory(title="Low Water")
    url = f"/api/v1/works/{work.pk}/"
    assert api.patch(url, {"title": "Mine", "version": 1}).status_code == 200
    status, code, _ = problem(api.patch(url, {"title": "Late", "version": 1}))
    assert (status, code) == (409, "stale-edit")
    assert Work.objects.get().title == "Mine"


@pytest.mark.parametrize(
    ("body", "fields"),
    [
        ({"title": ""}, {"title": ["This field may not be blank."]}),
        ({"iswc": "T-034.524.680-2"}, None),
        (
            {"writers": [{"role": "CA", "performance": "50"}]},
            {"writers": {"0": {"party": ["This field is required."]}}},
        ),
        (
            {"writers": [{"party": 0, "role": "E", "performance": "100.5"}]},
            {
                "writers": {
                    "0": {
                        "party": ['Invalid pk "0" - object does not exist.'],
                        "role": ['"E" is not a valid choice.'],
                        "performance": ["Ensure this value is less than or equal to 100."],
                    }
                }
            },
        ),
    ],
)
def test_work_that_cannot_stand_is_a_problem_by_field_and_nothing_is_written(api, body, fields):
    """ISO 15707: the check digit of T-034.524.680 is 1."""
    response = api.post("/api/v1/works/", {"title": "Low Water"} | body)
    status, _, told = problem(response)
    assert (status, told) == (400, fields)
    assert fields or response.json()["place"] == "iswc"
    assert Work.objects.count() == 0


def test_refusal_of_a_row_names_its_place(api, ada):
    half = {"party": ada.pk, "role": "CA", "performance": "50"}
    status, _, fields = problem(api.post("/api/v1/works/", {"title": "Low Water", "writers": [half, half]}))
    assert status == 400
    assert fields == {"writers.0.party": ["Ada Weir stands here twice as CA for World. Add the shares up in one row."]}


def test_check_tells_sums_and_findings(api):
    work = WorkFactory()
    WorkShareFactory(work=work, writer=True, performance="66.66")
    WorkShareFactory(work=work)
    told = api.get(f"/api/v1/works/{work.pk}/check/").json()
    assert told["sums"][0] == {"label": "Writers", "territory": "World", "stated": "66.66", "unknown": "33.34"}
    assert [(row["level"], row["code"], row["place"]) for row in told["findings"]] == [
        ("error", "total-short", "writers")
    ]


def test_recording_with_works_in_order_and_owners_is_written_and_read(api, tide):
    river, sea = WorkFactory(title="River"), WorkFactory(title="Sea")
    made = api.post(
        "/api/v1/recordings/",
        {
            "title": "Medley",
            "isrc": "us-s1z-99-00001",
            "length_seconds": 222,
            "works": [{"work": sea.pk}, {"work": river.pk}],
            "owners": [{"party": tide.pk, "share": "33.34"}],
        },
    )
    assert made.status_code == 201
    told = made.json()
    assert (told["isrc"], told["length_seconds"]) == ("USS1Z9900001", 222)
    assert told["works"] == [{"work": sea.pk, "title": "Sea"}, {"work": river.pk, "title": "River"}]
    assert told["owners"] == [
        {
            "party": tide.pk,
            "party_name": "Tide Music",
            "share": "33.34",
            "territory": "World",
            "administrator": None,
            "administrator_name": None,
        }
    ]
    url = f"/api/v1/recordings/{told['id']}/"
    assert api.get(url).json() == told
    changed = api.patch(url, {"works": [{"work": river.pk}], "version": told["version"]}).json()
    assert changed["works"] == [{"work": river.pk, "title": "River"}]
    assert changed["owners"] == told["owners"]
    assert api.get(f"{url}check/").json()["sums"] == [
        {"label": "Owners", "territory": "World", "stated": "33.34", "unknown": "66.66"}
    ]


def test_deleted_party_or_work_cannot_be_named(api):
    gone = PartyFactory(deleted_at=NOW)
    body = {"title": "Low Water", "writers": [{"party": gone.pk, "role": "C", "performance": "100"}]}
    assert api.post("/api/v1/works/", body).status_code == 400
    body = {"title": "River", "works": [{"work": WorkFactory(deleted_at=NOW).pk}]}
    assert api.post("/api/v1/recordings/", body).status_code == 400


@pytest.mark.parametrize(
    ("noun", "factory"), [("parties", PartyFactory), ("works", WorkFactory), ("recordings", RecordingFactory)]
)
def test_deleting_is_undone_by_restoring(api, noun, factory):
    url = f"/api/v1/{noun}/{factory().pk}/"
    assert api.delete(url).status_code == 204
    assert api.get(url).status_code == 404
    assert len(api.get(f"/api/v1/{noun}/", {"deleted": "true"}).json()["results"]) == 1
    assert api.post(f"{url}restore/").json()["deleted_at"] is None
    assert api.get(url).status_code == 200


def test_used_rows_are_not_deleted(api, tide):
    recording = RecordingShareFactory(recording=RecordingFactory(works=[WorkFactory()]), party=tide).recording
    UsageFactory(recording=recording)
    for url in (f"recordings/{recording.pk}", f"works/{recording.works.get().pk}", f"parties/{tide.pk}"):
        status, code, _ = problem(api.delete(f"/api/v1/{url}/"))
        assert (status, code) == (409, "still-used")


@pytest.mark.parametrize("noun", ["parties", "works", "recordings"])
@pytest.mark.parametrize("pk", ["0", "99999999999999999999"])
def test_unknown_row_is_not_found(api, noun, pk):
    for call in (api.get, api.patch, api.delete):
        assert call(f"/api/v1/{noun}/{pk}/").status_code == 404


def test_viewer_reads_and_may_not_write(viewer, tide):
    work, recording = WorkFactory(), RecordingFactory()
    rows = (("parties", tide, "name"), ("works", work, "title"), ("recordings", recording, "title"))
    for noun, row, name in rows:
        url = f"/api/v1/{noun}/{row.pk}/"
        assert viewer.get(url).status_code == 200
        assert problem(viewer.post(f"/api/v1/{noun}/", {name: "New"}))[0] == 403
        assert problem(viewer.patch(url, {name: "New"}))[0] == 403
        assert problem(viewer.delete(url))[0] == 403
        assert problem(viewer.post(f"{url}restore/"))[0] == 403
    assert (Party.objects.count(), Work.objects.count(), Recording.objects.count()) == (1, 1, 1)


def test_lists_are_searched_and_filtered(api, tide):
    work = WorkFactory(title="Řeka", iswc="T0345246801")
    WorkShareFactory(work=work, party=PartyFactory(name="Zoë Źródło"), writer=True)
    RecordingShareFactory(recording=RecordingFactory(title="River", works=[work], isrc="USS1Z9900001"), party=tide)
    WorkFactory(title="Other")
    RecordingFactory(title="Other")
    refresh_all()

    def names(noun, name, **query):
        return [row[name] for row in api.get(f"/api/v1/{noun}/", query).json()["results"]]

    assert names("works", "title", search="zrodlo") == ["Řeka"]
    assert names("works", "title", iswc="T-034.524.680-1") == ["Řeka"]
    assert names("recordings", "title", search="reka") == ["River"]
    assert names("recordings", "title", work=work.pk) == ["River"]
    assert names("recordings", "title", party=tide.pk) == ["River"]
    assert names("parties", "name", search="ZRÓD") == ["Zoë Źródło"]
    assert names("parties", "name", kind="organisation", search="tide") == ["Tide Music"]


@pytest.mark.parametrize("query", [{"party": "x"}, {"party": "1e40"}])
def test_filter_that_cannot_be_read_is_a_problem(api, query):
    assert problem(api.get("/api/v1/works/", query))[0] == 400


@pytest.mark.parametrize("count", [10, 200])
def test_queries_of_lists_do_not_grow_with_rows(api, count, django_assert_num_queries):
    for _ in range(count):
        work = WorkFactory()
        WorkShareFactory(work=work, writer=True)
        WorkShareFactory(work=work)
        RecordingShareFactory(recording=RecordingFactory(works=[work]))
    for noun, queries in (("parties", 3), ("works", 6), ("recordings", 4)):
        with django_assert_num_queries(queries):
            assert api.get(f"/api/v1/{noun}/").json()["results"]
