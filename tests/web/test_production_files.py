"""Pages, API and commands for whole productions as files."""

import io
import json

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import call_command
from django.db import transaction

from supervision.interchange import production_json
from supervision.interchange.production_json import read_production, write_production
from supervision.models import Membership, Party, Production, User
from supervision.queries.production_export import export_production
from supervision.queries.production_tables import shapes
from supervision.rules.errors import BadValue
from supervision.rules.production_file import rows_counted
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.catalogue import PartyFactory
from tests.factories.productions import ProductionFactory
from tests.factories.whole_production import emptied, whole_production

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def whole(django_db_setup, django_db_blocker):
    with django_db_blocker.unblock(), transaction.atomic():
        yield write_production(export_production(whole_production()))
        transaction.set_rollback(True)


@pytest.fixture
def supervisor(whole, client):
    user = User.objects.get(username="supervisor")
    client.force_login(user)
    return user


@pytest.fixture
def newcomer(whole, client):
    """Somebody on a new installation who may set up productions."""
    emptied()
    user = UserFactory(username="ada", is_staff=True)
    client.force_login(user)
    return user


def upload(data):
    return SimpleUploadedFile("x.production.json", data, content_type="application/json")


def test_a_supervisor_takes_the_production_away(whole, supervisor, client):
    answer = client.get("/productions/MARRAM/whole.json")
    assert (answer.status_code, answer.content) == (200, whole)
    assert answer["Content-Disposition"] == 'attachment; filename="MARRAM.production.json"'
    assert answer["Cache-Control"] == "private, no-store"
    assert b"/productions/MARRAM/whole.json" in client.get("/productions/MARRAM/").content


@pytest.mark.parametrize("way", ["/productions/MARRAM/whole.json", "/api/v1/productions/MARRAM/whole/"])
def test_others_do_not(whole, client, way):
    client.force_login(User.objects.get(username="coordinator"))
    assert client.get(way).status_code == 403
    client.force_login(UserFactory())
    assert client.get(way).status_code == 404
    assert b"whole.json" not in client.get("/productions/").content


def test_looking_first_writes_nothing_and_says_what_would_happen(whole, newcomer, client):
    answer = client.post("/productions/take-in/", {"file": upload(whole), "look": "1"})
    text = answer.content.decode()
    assert answer.status_code == 200
    assert "MARRAM: what would happen" in text
    assert "Nothing stands against it" in text
    assert "52 parties" in text
    assert "Hesper Lowbridge (composer)" in text
    assert not Production.objects.exists()


def test_it_comes_in_and_says_so(whole, newcomer, client):
    answer = client.post("/productions/take-in/", {"file": upload(whole)}, follow=True)
    assert answer.redirect_chain == [("/productions/MARRAM/", 302)]
    assert "Marram is here, with all that belongs to it." in answer.content.decode()
    assert Membership.objects.get(user=newcomer).role == Role.SUPERVISOR
    again = client.post("/productions/take-in/", {"file": upload(whole)}, follow=True)
    assert "Nothing was changed." in again.content.decode()
    look = client.post("/productions/take-in/", {"file": upload(whole), "look": "1"})
    assert "Nothing would change." in look.content.decode()
    for page in ("/episodes/MARRAM-101/", "/episodes/MARRAM-101/clearances/", "/productions/MARRAM/1/money/"):
        assert client.get(page).status_code == 200


def test_conflicts_are_shown_before_anything_is_written(whole, newcomer, client):
    party = json.loads(whole)["content"]["tables"]["party"]
    ipi = next(row["ipi"] for row in party if row["ipi"])
    PartyFactory(name="Another Name", ipi=ipi)
    look = client.post("/productions/take-in/", {"file": upload(whole), "look": "1"})
    assert "Differs from the catalogue here" in look.content.decode()
    refused = client.post("/productions/take-in/", {"file": upload(whole)})
    assert refused.status_code == 422
    assert "differs in" in refused.content.decode()
    assert not Production.objects.exists()
    taken = client.post("/productions/take-in/", {"file": upload(whole), "take_ours": "on"})
    assert taken.status_code == 302
    assert Party.objects.get(ipi=ipi).name == "Another Name"


@pytest.mark.parametrize(("data", "said"), [(b"", "no JSON of a production"), (b"{}", "no exported production")])
def test_a_file_that_is_none_is_refused_on_the_page(newcomer, client, data, said):
    for more in ({}, {"look": "1"}):
        answer = client.post("/productions/take-in/", {"file": upload(data), **more})
        assert answer.status_code == 422
        assert said in answer.content.decode()


def test_no_file_is_refused(newcomer, client):
    answer = client.post("/productions/take-in/", {})
    assert (answer.status_code, b"Choose the exported file." in answer.content) == (422, True)


def test_who_may_set_up_no_production_does_not_see_the_page(client):
    client.force_login(MembershipFactory(role=Role.VIEWER).user)
    assert client.get("/productions/take-in/").status_code == 403
    assert client.post("/api/v1/productions/take-in/", {"file": upload(b"{}")}).status_code == 403


def test_the_api_takes_away_looks_and_takes_in(whole, newcomer, client):
    look = client.post("/api/v1/productions/take-in/", {"file": upload(whole), "look": "true"})
    assert look.status_code == 200
    told = look.json()
    assert (told["code"], told["unchanged"], told["conflicts"]) == ("MARRAM", False, [])
    assert {"table": "party", "rows": 52} in told["new"]
    assert "composer" in told["unknown_people"]
    assert client.post("/api/v1/productions/take-in/", {"file": upload(whole)}).status_code == 201
    again = client.post("/api/v1/productions/take-in/", {"file": upload(whole)})
    assert (again.status_code, again.json()["unchanged"], again.json()["new"]) == (200, True, [])
    assert client.get("/api/v1/productions/MARRAM/whole/").status_code == 200


def test_the_api_tells_place_and_mend(newcomer, client):
    answer = client.post("/api/v1/productions/take-in/", {"file": upload(b"[]")})
    assert answer.status_code == 400
    assert (answer.json()["place"], bool(answer.json()["mend"])) == ("format", True)


def command(name, *arguments):
    said, wrong = io.StringIO(), io.StringIO()
    try:
        call_command(name, *arguments, stdout=said, stderr=wrong)
    except SystemExit as end:
        return end.code, wrong.getvalue()
    return 0, said.getvalue()


def test_the_commands_take_away_and_take_in(whole, supervisor, tmp_path):
    path = tmp_path / "marram.production.json"
    assert command("exportproduction", "marram", "--output", str(path)) == (0, f"{path}\n")
    assert path.read_bytes() == whole
    emptied()
    UserFactory(username="ada", is_staff=True)
    status, said = command("importproduction", str(path), "--check")
    assert status == 0
    assert "new: 52 parties\n" in said
    assert "without an account here: Hesper Lowbridge (composer)\n" in said
    assert not Production.objects.exists()
    status, said = command("importproduction", str(path), "--as", "ada")
    assert (status, said.splitlines()[-1]) == (0, "Marram (MARRAM) is here.")
    assert Membership.objects.get(user__username="ada").role == Role.SUPERVISOR
    assert command("importproduction", str(path))[1].splitlines() == [
        "It is here already, with the same content.",
        "Marram (MARRAM) is here.",
    ]


def test_the_commands_refuse_in_one_line(whole, tmp_path):
    path = tmp_path / "x.json"
    assert command("exportproduction", "NOUGHT", "--output", str(path)) == (2, "There is no production NOUGHT.\n")
    assert command("importproduction", str(path))[0] == 2
    path.write_bytes(b"[]")
    status, said = command("importproduction", str(path))
    assert (status, said.count("\n")) == (2, 1)
    path.write_bytes(whole)
    assert command("importproduction", str(path), "--as", "nobody") == (2, "There is no user nobody.\n")
    Production.objects.filter(code="MARRAM").update(title="Other")
    status, said = command("importproduction", str(path), "--check")
    assert (status, said.count("conflict: production[1].code: ")) == (0, 1)


def test_a_file_past_the_limit_is_refused_unread(monkeypatch):
    monkeypatch.setattr(production_json, "LARGEST", 3)
    with pytest.raises(BadValue, match="more than 0 MB"):
        read_production(b"{  }", shapes())


def test_rows_are_counted_in_words():
    assert (rows_counted("party", 1), rows_counted("party", 2), rows_counted("usage", 3)) == (
        "1 party",
        "2 parties",
        "3 usages",
    )


def test_an_empty_production_travels_too(newcomer):
    content = export_production(ProductionFactory(code="BARE"))
    assert read_production(write_production(content), shapes()).tables["usage"] == []
