"""A cue sheet is in the language that it was set in, whoever prints it and in whichever language they read."""

from datetime import date

import pytest
from django.utils import translation

from supervision.documents.cue_sheet import header_facts
from supervision.documents.cue_sheet_pdf import cue_sheet_html
from supervision.documents.cue_sheet_xlsx import cue_sheet_workbook
from supervision.queries.cue_sheet_profiles import house_profile
from supervision.rules.cue_sheet_checks import check_sheet
from supervision.rules.cue_sheet_setting import issued, set_sheet
from tests.factories.cue_sheets import facts, long_sheet, publisher, use, work, writer

READERS = ("en-gb", "fr")


@pytest.fixture(params=["international", "european-french"])
def drafted(request):
    """A draft by a profile in English and by one in French, with what is wrong with it."""
    told = facts(*long_sheet(12).uses, minutes=60, broadcast_country="GB", country="GB", network="")
    sheet = set_sheet(told, house_profile(request.param))
    return sheet, check_sheet(told, sheet)


def test_paper_is_the_same_for_every_reader(drafted):
    sheet, findings = drafted
    papers = []
    for reader in READERS:
        with translation.override(reader):
            papers.append(cue_sheet_html(sheet, findings=findings))
    assert papers[0] == papers[1]
    assert papers[0].count("<li>") > 0


def test_workbook_is_the_same_for_every_reader(drafted):
    sheet = issued(drafted[0], revision=1, by="Ida Person", on=date(2026, 11, 25))
    books = []
    for reader in READERS:
        with translation.override(reader):
            books.append(cue_sheet_workbook(sheet, findings=2))
    assert books[0] == books[1]


def test_what_is_wrong_with_a_draft_is_told_in_its_language():
    told = facts(*long_sheet(3).uses, network="")
    lacking = {"en": "The network or platform is not known.", "fr": "La chaîne ou plateforme n’est pas connue."}
    for code, profile in (("en", "international"), ("fr", "european-french")):
        sheet = set_sheet(told, house_profile(profile))
        paper = cue_sheet_html(sheet, findings=check_sheet(told, sheet))
        assert lacking[code] in paper
        assert lacking["fr" if code == "en" else "en"] not in paper


def test_shares_are_written_as_the_language_of_the_sheet_writes_them():
    told = long_sheet(3)
    with translation.override("fr"):
        assert ">100.00</td>" in cue_sheet_html(set_sheet(told, house_profile("international")))
    assert ">50,00</td>" in cue_sheet_html(set_sheet(told, house_profile("european-french")))


def test_countries_of_a_sheet_have_no_reader():
    sheet = set_sheet(facts(country="GB"), house_profile("international"))
    with translation.override("fr"):
        (country,) = (text for term, text in header_facts(sheet) if term == "Country of origin")
    assert type(country) is str  # nothing that a page would tell anew
    assert country == "United Kingdom"


@pytest.mark.parametrize(
    ("profile", "said", "other"),
    [("international", "No society", "Sans société"), ("european-french", "Sans société", "No society")],
)
@pytest.mark.parametrize("reader", READERS)
def test_who_is_with_no_society_is_told_in_the_language_of_the_sheet(profile, said, other, reader):
    parties = [writer("Traditional", society="No society", society_code="099"), publisher()]
    told = facts(use(works=[work(parties=parties)]))
    with translation.override(reader):
        paper = cue_sheet_html(set_sheet(told, house_profile(profile)))
    assert f">{said}</td>" in paper
    assert other not in paper
