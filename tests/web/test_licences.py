"""Licences on the clearance's page: the signed file in, out to who may have it, and the invoice."""

import hashlib

import pytest
from django.urls import reverse

from supervision.models import Licence
from supervision.rules.clearance import Stage
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.clearance import ClearanceFactory, LicenceFactory, at_stage, signed_file
from tests.web.shown_forms import as_shown

pytestmark = pytest.mark.django_db
CONTENT = b"%PDF-1.4\nsigned on paper\n%%EOF\n"


@pytest.fixture(autouse=True)
def folder(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    return tmp_path


@pytest.fixture
def clearance():
    return at_stage(ClearanceFactory(), Stage.APPROVED)


def signed_in(client, clearance, role=Role.SUPERVISOR):
    client.force_login(MembershipFactory(production=clearance.usage.episode.season.production, role=role).user)


def shown(client, clearance):
    """What a browser would send of the licence's form as it stands on the page."""
    ways = client.get(reverse("clearance", args=[clearance.pk])).context["ways"]
    form = next(form for name, _, form in ways if name == "licence")
    return as_shown(form) | {"number": "L-1"}


def record(client, clearance, **told):
    sent = {"file": signed_file("Signed.pdf", CONTENT)} | told
    return client.post(reverse("clearance-step", args=[clearance.pk, "licence"]), shown(client, clearance) | sent)


def licence_form(response):
    return next(form for name, _, form in response.context["ways"] if name == "licence")


def test_licence_is_recorded_with_several_grants(client, clearance):
    signed_in(client, clearance)
    second = {
        "grants-TOTAL_FORMS": "2",
        "grants-1-granted_media": "clips",
        "grants-1-territory": "US",
        "grants-1-starts_on": "2027-01-01",
        "grants-1-ends_on": "2028-01-01",
        "grants-1-max_seconds": "30",
        "grants-1-max_uses": "2",
    }
    assert record(client, clearance, **second).status_code == 302
    # the form begins with the fee that was approved
    assert Licence.objects.get().fee_minor == clearance.standing_quote.payable_minor
    page = client.get(reverse("clearance", args=[clearance.pk])).content.decode()
    for said in ("Signed.pdf", "in perpetuity", "1 Jan 2028", "0:30", "2 uses"):
        assert said in page


def test_licence_without_file_is_422_and_says_so_beside_the_field(client, clearance):
    signed_in(client, clearance)
    response = record(client, clearance, file="")
    assert response.status_code == 422
    assert licence_form(response).errors["file"] == [
        "Can't be licensed: no signed file. Attach the signed licence: PDF, PNG, JPEG or DOCX."
    ]


@pytest.mark.parametrize(
    ("file", "said"),
    [
        (signed_file("licence.pdf", b""), "The file is empty."),
        (signed_file("licence.pdf", b"<html></html>"), "The file is none that can be kept."),
        (signed_file("licence.docx"), "The file is called licence.docx but contains a PDF."),
    ],
)
def test_file_that_cannot_be_kept_is_422_beside_the_field(client, clearance, folder, file, said):
    signed_in(client, clearance)
    response = record(client, clearance, file=file)
    [sentence] = licence_form(response).errors["file"]
    assert (response.status_code, sentence.startswith(said)) == (422, True)
    assert (Licence.objects.count(), list(folder.rglob("*.*"))) == (0, [])


def test_grants_that_are_one_thing_twice_are_422_at_the_second(client, clearance):
    signed_in(client, clearance)
    told = shown(client, clearance)
    twice = {name.replace("grants-0", "grants-1"): value for name, value in told.items() if name.startswith("grants-0")}
    response = record(client, clearance, **twice, **{"grants-TOTAL_FORMS": "2"})
    form = licence_form(response)
    assert (response.status_code, list(form.sets["grants"].forms[1].errors)) == (422, ["granted_media"])
    assert form["number"].value() == "L-1"


def test_file_goes_out_whole_as_an_attachment_that_no_browser_opens(client, clearance):
    signed_in(client, clearance)
    record(client, clearance)
    licence = Licence.objects.get()
    response = client.get(reverse("licence-file", args=[licence.pk]))
    assert b"".join(response.streaming_content) == CONTENT
    assert response.headers["Content-Disposition"] == 'attachment; filename="Signed.pdf"'
    assert response.headers["X-Content-Type-Options"] == "nosniff"
    assert (response.headers["Content-Type"], response.headers["Cache-Control"]) == (
        "application/pdf",
        "private, no-store",
    )
    assert hashlib.sha256(CONTENT).hexdigest() == licence.file_sha256


@pytest.mark.parametrize(
    ("role", "status"),
    [(Role.COORDINATOR, 200), (Role.FINANCE, 200), (Role.COMPOSER, 403), (Role.VIEWER, 403)],
)
def test_file_is_for_who_may_see_money(client, clearance, role, status):
    signed_in(client, clearance)
    record(client, clearance)
    signed_in(client, clearance, role)
    response = client.get(reverse("licence-file", args=[Licence.objects.get().pk]))
    assert response.status_code == status
    b"".join(response)  # a file sent is closed when it has been read


def test_file_is_not_there_for_strangers_and_the_signed_out(client, clearance):
    signed_in(client, clearance)
    record(client, clearance)
    path = reverse("licence-file", args=[Licence.objects.get().pk])
    client.force_login(UserFactory())
    assert client.get(path).status_code == 404
    client.logout()
    assert client.get(path).status_code == 302


def test_file_lies_in_no_served_folder(client, clearance):
    signed_in(client, clearance)
    record(client, clearance)
    name = Licence.objects.get().file.name
    for path in (f"/{name}", f"/media/{name}", f"/files/{name}", f"/static/{name}"):
        assert client.get(path).status_code == 404


def test_file_that_was_changed_on_disk_is_not_handed_out(client, clearance, folder):
    signed_in(client, clearance)
    record(client, clearance)
    licence = Licence.objects.get()
    (folder / licence.file.name).write_bytes(b"%PDF-1.4\nanother\n")
    response = client.get(reverse("licence-file", args=[licence.pk]))
    assert response.status_code == 409
    assert "not the one that was recorded" in response.content.decode()


def test_file_that_is_lost_is_404_with_a_mend(client, clearance, folder):
    signed_in(client, clearance)
    record(client, clearance)
    licence = Licence.objects.get()
    (folder / licence.file.name).unlink()
    response = client.get(reverse("licence-file", args=[licence.pk]))
    assert response.status_code == 404
    assert "last backup" in response.content.decode()
    old = LicenceFactory(clearance=ClearanceFactory(usage=clearance.usage))
    assert client.get(reverse("licence-file", args=[old.pk])).status_code == 404


def test_finance_notes_invoice_and_payment(client, clearance):
    signed_in(client, clearance, Role.FINANCE)
    licence = LicenceFactory(clearance=clearance)
    told = {"invoice_number": "4711", "invoiced_on": "2026-11-20", "paid_on": "2026-11-24"}
    assert client.post(reverse("licence-invoice", args=[licence.pk]), told).status_code == 302
    page = client.get(reverse("clearance", args=[clearance.pk])).content.decode()
    assert "4711" in page
    assert "24 Nov 2026" in page


def test_payment_before_the_invoice_is_422_beside_the_day(client, clearance):
    signed_in(client, clearance, Role.FINANCE)
    licence = LicenceFactory(clearance=clearance)
    told = {"invoice_number": "4711", "invoiced_on": "2026-11-20", "paid_on": "2026-11-19"}
    response = client.post(reverse("licence-invoice", args=[licence.pk]), told)
    [(_, form)] = response.context["licences"]
    assert (response.status_code, list(form.errors), form["invoice_number"].value()) == (422, ["paid_on"], "4711")


def test_coordinator_may_not_note_the_invoice(client, clearance):
    signed_in(client, clearance, Role.COORDINATOR)
    licence = LicenceFactory(clearance=clearance)
    assert client.post(reverse("licence-invoice", args=[licence.pk]), {}).status_code == 403
    assert client.get(reverse("clearance", args=[clearance.pk])).context["licences"] == [(licence, None)]


def test_viewer_sees_the_grants_and_neither_fee_nor_file(client, clearance):
    signed_in(client, clearance)
    record(client, clearance)
    signed_in(client, clearance, Role.VIEWER)
    page = client.get(reverse("clearance", args=[clearance.pk])).content.decode()
    assert "in perpetuity" in page
    for hidden in ("5,000.00", "Signed.pdf"):
        assert hidden not in page
