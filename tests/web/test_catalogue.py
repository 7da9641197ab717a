import pytest
from django.urls import reverse

from supervision.actions.search_keys import refresh_all
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.catalogue import PartyFactory, RecordingFactory, WorkFactory, WorkShareFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def signed_in(client):
    """Somebody who is in no production: the catalogue is everybody's to read."""
    client.force_login(UserFactory())
    return client


@pytest.fixture
def river():
    work = WorkFactory(title="Řeka")
    WorkShareFactory(work=work, party=PartyFactory(name="Zoë Źródło", ipi="00014107338"), writer=True)
    recording = RecordingFactory(title="River", works=[work])
    RecordingFactory(title="Other")
    WorkFactory(title="Other")
    refresh_all()
    return recording


@pytest.mark.parametrize(
    ("text", "counts"),
    [
        ("zrodlo", {"recordings": 1, "works": 1, "parties": 1}),
        ("REKA", {"recordings": 1, "works": 1, "parties": 0}),
        ("river", {"recordings": 1, "works": 0, "parties": 0}),
        ("14107338", {"recordings": 0, "works": 0, "parties": 1}),
        ("", {"recordings": 2, "works": 2, "parties": 1}),
    ],
)
def test_one_box_finds_recordings_works_and_parties(signed_in, river, text, counts):
    assert signed_in.get(reverse("catalogue"), {"q": text}).context["counts"] == counts


def test_all_of_a_kind_is_a_link_with_the_same_search(signed_in):
    for number in range(11):
        WorkFactory(title=f"River {number}")
        RecordingFactory(title=f"River {number}")
        PartyFactory(name=f"River {number}")
    refresh_all()
    text = signed_in.get(reverse("catalogue"), {"q": "river"}).content.decode()
    for kind, label in (("work", "works"), ("recording", "recordings"), ("party", "parties")):
        assert f'href="{reverse(f"{kind}-list")}?search=river">All 11 {label}' in text


def test_nothing_found_says_so_and_how_to_go_on(signed_in, river):
    assert "Nothing is called so" in signed_in.get(reverse("catalogue"), {"q": "qqq"}).content.decode()


def test_live_search_answers_with_the_results_alone(signed_in, river):
    page = signed_in.get(reverse("catalogue"), {"q": "river"}, headers={"HX-Request": "true"})
    assert page.content.decode().strip().startswith('<div id="results"')


def test_typed_markup_is_shown_as_text(signed_in):
    text = signed_in.get(reverse("catalogue"), {"q": "<script>alert(1)</script>"}).content.decode()
    assert "<script>alert" not in text


def test_suggestions_take_whatever_field_they_are_for(signed_in, river):
    parties = signed_in.get(reverse("party-suggestions"), {"writers-3-party": "zoe"})
    assert '<option value="Zoë Źródło">' in parties.content.decode()
    works = signed_in.get(reverse("work-suggestions"), {"works-0-work": "reka"})
    assert '<option value="Řeka">' in works.content.decode()
    assert signed_in.get(reverse("work-suggestions")).content.decode().strip() == ""


@pytest.mark.parametrize("count", [10, 200])
def test_queries_do_not_grow_with_rows(signed_in, count, django_assert_num_queries):
    for number in range(count):
        work = WorkFactory(title=f"River {number}")
        WorkShareFactory(work=work, writer=True)
        RecordingFactory(title=f"River {number}", works=[work])
    refresh_all()
    for query, queries in ({"q": "river"}, 13), ({}, 14):
        with django_assert_num_queries(queries):
            signed_in.get(reverse("catalogue"), query)


def test_empty_answer_offers_to_add_what_was_looked_for(client):
    client.force_login(MembershipFactory(role=Role.SUPERVISOR).user)
    assert "Nothing in the catalogue yet" in client.get("/catalogue/").content.decode()
    assert 'href="/catalogue/works/new/?title=Tidal+Bell"' in client.get("/catalogue/?q=Tidal Bell").content.decode()


def test_viewer_is_not_offered_to_add(client):
    client.force_login(MembershipFactory(role=Role.VIEWER).user)
    assert "/catalogue/works/new/" not in client.get("/catalogue/?q=Tidal Bell").content.decode()
