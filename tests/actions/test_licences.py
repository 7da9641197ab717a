"""Licences: the signed file with them or nothing at all, their grants, and their invoices."""

import hashlib
from datetime import date

import pytest
from django.utils import timezone

from supervision.actions.grants import GrantTerms
from supervision.actions.licences import record_invoice, record_licence
from supervision.models import AuditEntry, Licence, QuoteCondition
from supervision.rules.clearance import Stage
from supervision.rules.errors import BadRow, BadValue, Conflict, NotAllowed, StaleEdit
from supervision.rules.money import Money
from supervision.rules.roles import Role
from supervision.rules.term import Term
from tests.factories.accounts import MembershipFactory
from tests.factories.clearance import ClearanceFactory, LicenceFactory, at_stage, signed_file

pytestmark = pytest.mark.django_db
NOW = timezone.make_aware(timezone.datetime(2026, 11, 25, 12))
TODAY = date(2026, 11, 25)
GRANT = GrantTerms("all media", "World", Term(TODAY, None))


@pytest.fixture
def clearance():
    return at_stage(ClearanceFactory(), Stage.APPROVED)


@pytest.fixture
def supervisor(clearance):
    return MembershipFactory(production=clearance.usage.episode.season.production).user


@pytest.fixture(autouse=True)
def folder(settings, tmp_path):
    """A folder for files that nobody has used before."""
    settings.MEDIA_ROOT = tmp_path
    return tmp_path


def files(folder):
    return sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file())


def record(clearance, by, **told):
    fields = {"number": "L-1", "fee": Money(500_000, "USD"), "grants": [GRANT], "file": signed_file()} | told
    return record_licence(clearance=clearance, executed_on=TODAY, by=by, now=NOW, **fields)


def test_licence_keeps_its_file_under_a_name_of_ours(clearance, supervisor, folder):
    content = b"%PDF-1.4\nsigned\n"
    licence = record(clearance, supervisor, file=signed_file("../Signed – Café.pdf", content))
    assert files(folder) == [licence.file.name]
    assert licence.file.name.startswith("licences/2026/11/")
    assert "Caf" not in licence.file.name
    assert (licence.file_name, licence.file_size) == ("Signed – Café.pdf", len(content))
    assert licence.file_sha256 == hashlib.sha256(content).hexdigest()
    assert (folder / licence.file.name).read_bytes() == content


def test_licence_without_file_is_refused(clearance, supervisor):
    with pytest.raises(Conflict, match=r"Can't be licensed: no signed file\."):
        record(clearance, supervisor, file=None)
    assert Licence.objects.count() == 0


def test_licence_while_an_approval_is_open_is_refused(clearance, supervisor, folder):
    condition = QuoteCondition.objects.create(quote=clearance.standing_quote, kind="edit", text="final mix")
    QuoteCondition.objects.create(quote=clearance.standing_quote, kind="alcohol")
    with pytest.raises(
        Conflict, match=r"Can't be licensed: approvals are open \(Approval of the edit: final mix\)\."
    ) as refused:
        record(clearance, supervisor)
    assert (refused.value.code, files(folder)) == ("approvals-open", [])
    QuoteCondition.objects.filter(pk=condition.pk).update(met_on=TODAY)
    assert record(clearance, supervisor).number == "L-1"


@pytest.mark.parametrize(
    ("told", "place"),
    [
        ({"file": signed_file("licence.pdf", b"MZ")}, "file"),
        ({"file": signed_file("licence.html")}, "file"),
        ({"fee": Money(-1, "USD")}, "fee"),
        ({"number": ""}, "number"),
        ({"grants": []}, "grants"),
        ({"grants": [GRANT, GRANT]}, "grants.1"),
        ({"grants": [GRANT, GrantTerms("all media", "Ruritania", Term(TODAY, None))]}, "grants.1.territory"),
        ({"grants": [GrantTerms("all media", "World", Term())]}, "grants.0.starts_on"),
        ({"grants": [GrantTerms("all media", "World", Term(TODAY, None), max_uses=0)]}, "grants.0.uses"),
    ],
)
def test_refused_licence_leaves_neither_rows_nor_a_file(clearance, supervisor, folder, told, place):
    with pytest.raises(BadValue) as refused:
        record(clearance, supervisor, **told)
    clearance.refresh_from_db()
    assert refused.value.place == place
    assert (Licence.objects.count(), clearance.stage, files(folder)) == (0, Stage.APPROVED, [])


def test_file_over_the_limit_is_refused(clearance, supervisor, folder, settings):
    settings.LICENCE_FILE_LIMIT = 10
    with pytest.raises(BadValue) as refused:
        record(clearance, supervisor)
    assert (refused.value.code, files(folder)) == ("file-too-large", [])


def test_stale_licence_takes_its_file_away_again(clearance, supervisor, folder):
    with pytest.raises(StaleEdit):
        record(clearance, supervisor, version=9)
    assert (Licence.objects.count(), files(folder)) == (0, [])


def test_second_licence_in_force_is_refused_and_takes_its_file_away_again(clearance, supervisor, folder):
    LicenceFactory(clearance=clearance)
    with pytest.raises(BadRow):
        record(clearance, supervisor, number="L-2")
    assert files(folder) == []


def test_grants_keep_their_limits(clearance, supervisor):
    grants = [GrantTerms("clips", "World", Term(TODAY, None), 30, 2), GRANT]
    licence = record(clearance, supervisor, grants=grants)
    found = licence.grants.order_by("pk").values_list("media", "max_seconds", "max_uses")
    assert list(found) == [("clips", 30, 2), ("all media", None, None)]


def invoice(licence, by, number="4711", invoiced_on=TODAY, paid_on=None):
    return record_invoice(
        licence=licence, invoice_number=number, invoiced_on=invoiced_on, paid_on=paid_on, by=by, now=NOW
    )


@pytest.mark.parametrize("role", [Role.FINANCE, Role.SUPERVISOR])
def test_invoice_and_payment_are_noted(clearance, role):
    licence = LicenceFactory(clearance=clearance, number="L-7")
    by = MembershipFactory(production=clearance.usage.episode.season.production, role=role).user
    invoice(licence, by)
    paid = invoice(licence, by, paid_on=date(2026, 12, 1))
    assert (paid.invoice_number, paid.invoiced_on, paid.paid_on) == ("4711", TODAY, date(2026, 12, 1))
    notes = AuditEntry.objects.filter(object_type="clearance").order_by("pk").values_list("by", "note", "after")
    assert list(notes) == [
        (
            by.pk,
            "licence L-7, invoice 4711 of 2026-11-25",
            {"invoice_number": "4711", "invoiced_on": "2026-11-25"},
        ),
        (by.pk, "licence L-7, invoice 4711 of 2026-11-25, paid on 2026-12-01", {"paid_on": "2026-12-01"}),
    ]


def test_invoice_taken_back_is_written_down(clearance, supervisor):
    licence = LicenceFactory(clearance=clearance, number="L-7", invoice_number="4711", invoiced_on=TODAY)
    assert invoice(licence, supervisor, number="", invoiced_on=None).invoiced_on is None
    assert AuditEntry.objects.get().note == "licence L-7"


def test_invoice_noted_again_writes_nothing(clearance, supervisor):
    licence = LicenceFactory(clearance=clearance, invoice_number="4711", invoiced_on=TODAY)
    invoice(licence, supervisor)
    assert AuditEntry.objects.count() == 0


@pytest.mark.parametrize(
    ("told", "place"),
    [
        ({"invoiced_on": None}, "invoiced_on"),
        ({"number": "", "invoiced_on": None, "paid_on": TODAY}, "invoiced_on"),
        ({"paid_on": date(2026, 11, 24)}, "paid_on"),
    ],
)
def test_invoice_that_cannot_be_true_is_refused(clearance, supervisor, told, place):
    with pytest.raises(BadValue) as refused:
        invoice(LicenceFactory(clearance=clearance), supervisor, **told)
    assert refused.value.place == place


@pytest.mark.parametrize("role", [Role.COORDINATOR, Role.COMPOSER, Role.VIEWER])
def test_invoice_by_others_is_refused(clearance, role):
    by = MembershipFactory(production=clearance.usage.episode.season.production, role=role).user
    with pytest.raises(NotAllowed):
        invoice(LicenceFactory(clearance=clearance), by)
