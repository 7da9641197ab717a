"""The money workbook: read back by openpyxl, recalculated by LibreOffice, and reckoned again from its own cells.

LibreOffice Calc is the outside judge of the formulas: it is told to recalculate every formula on loading, and gets files
whose stored results are gone.
"""

import shutil
import subprocess
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from io import BytesIO

import pytest
from openpyxl import load_workbook

from supervision.documents.money_totals import FIGURES
from supervision.documents.money_xlsx import money_workbook
from supervision.models import BudgetLine, ExchangeRate, Option, Quote, Usage
from supervision.queries.budgets import season_money
from supervision.queries.forecast import episode_forecast, season_forecast
from supervision.queries.money_book import episode_book, season_book
from tests.factories.catalogue import RecordingFactory
from tests.factories.productions import EpisodeFactory, SeasonFactory
from tests.factories.season import season_of
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db
TODAY = date(2026, 11, 25)
RECALCULATE = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse">
<value>0</value></prop></item></oor:items>"""


@pytest.fixture(scope="module")
def recalculated(tmp_path_factory):
    """Return a function that lets LibreOffice recalculate a workbook and reads the results."""
    office = shutil.which("soffice")
    if office is None:
        pytest.fail("LibreOffice Calc is missing: `.ci/system-packages calc` brings it", pytrace=False)
    profile = tmp_path_factory.mktemp("office")
    (profile / "user").mkdir()
    (profile / "user" / "registrymodifications.xcu").write_text(RECALCULATE)

    def recalculate(workbook):
        folder = tmp_path_factory.mktemp("workbook")
        (folder / "out").mkdir()
        workbook.save(folder / "money.xlsx")
        profiled = f"-env:UserInstallation={profile.as_uri()}"
        command = [office, profiled, "--headless", "--convert-to", "xlsx", "--outdir", "out", "money.xlsx"]
        subprocess.run(command, cwd=folder, check=True, capture_output=True, timeout=120)  # noqa: S603 - a program of ours with a file of ours
        return load_workbook(folder / "out" / "money.xlsx", data_only=True)

    return recalculate


@pytest.fixture
def season():
    """A season in pounds with fees in three currencies, thirds of shares, odd likelihoods, a reserve and no rate for one."""
    season = season_of(6, episodes=3)
    production = season.production
    production.currency = "GBP"
    production.save()
    Quote.objects.filter(payable_minor=20_000).update(currency="EUR")
    Quote.objects.filter(payable_minor=10_000).update(amount_minor=10_001, payable_minor=10_001)
    for likelihood, usage in zip((100, 50, 33, 67, 1, 0), Usage.objects.order_by("pk"), strict=True):
        usage.likelihood = likelihood
        usage.save()
    UsageFactory(
        episode=season.episodes.first(),
        cue_number="9M9",
        recording=RecordingFactory(title="=SUM(A1:A9)", artist="@Halves, +1"),
        sync_estimate_minor=99_999,
        master_estimate_minor=1,
        estimate_currency="JPY",
        likelihood=50,
    )
    for base, rate in (("USD", "0.7588"), ("EUR", "0.8702")):
        ExchangeRate.objects.create(
            production=production, base=base, quote="GBP", rate=Decimal(rate), on=TODAY, source="a bank"
        )
    quote = Quote.objects.filter(clearance__side="master").first()
    Option.objects.create(
        quote=quote,
        media="theatrical",
        starts_on=TODAY,
        amount_minor=12_345,
        payable_minor=12_345,
        currency="USD",
        exercised_on=TODAY,
    )
    first, second, _ = season.episodes.all()
    for episode, category, amount in (
        (first, "sync", 90_000),
        (first, "master", 40_000),
        (second, "sync", 10_001),
        (None, "sync", 5_000),
    ):
        BudgetLine.objects.create(season=season, episode=episode, category=category, amount_minor=amount)
    return season


def opened(book, **options):
    return load_workbook(BytesIO(money_workbook(book)), **options)


def rows_of(sheet):
    """The rows below the head by their first and third cell (episode and side)."""
    return {(row[0], row[2]): row for row in sheet.iter_rows(min_row=6, values_only=True) if row[2]}


def pounds(minor):
    return None if minor is None else float(Decimal(minor).scaleb(-2))


def figures_of(fees, outlook):
    return [pounds(getattr(fees, name).converted.minor) for name in FIGURES[:4]] + [
        pounds(getattr(outlook, name).converted.minor) for name in FIGURES[4:]
    ]


def left_of(headroom):
    if headroom is None:
        return [None] * 3
    return [pounds(money.minor) for money in (headroom.budget, headroom.remaining, headroom.forecast_remaining)]


def lines_of(season):
    """What the pages show: each episode's and the season's lines by side."""
    money, forecast = season_money(season, TODAY), season_forecast(season, TODAY)
    shown = {}
    for fees, line in zip(money.lines, forecast.lines, strict=True):
        for side, of_fees in zip(line.money.sides, (fees.fees.sync, fees.fees.master, fees.fees.total), strict=True):
            shown[fees.episode.code, side.label] = figures_of(of_fees, side.figures) + left_of(side.headroom)
    total = money.table.total
    for side, of_fees in zip(forecast.total.sides, (total.sync, total.master, total.total), strict=True):
        shown["All", side.label] = figures_of(of_fees, side.figures) + left_of(side.headroom)
    return shown


def told(sheet):
    """The lines of a sheet of totals, blank for none; to the minor unit, as a spreadsheet's sums are binary."""
    return {
        key: [None if cell in (None, "") else round(cell, 2) for cell in row[3:13]]
        for key, row in rows_of(sheet).items()
        if key[0] != "Reserve"
    }


def test_recalculated_totals_are_the_pages(season, recalculated):
    # saved by openpyxl, the file has formulas and no results
    assert told(recalculated(opened(season_book(season, TODAY)))["Season"]) == lines_of(season)


def test_stored_results_are_the_pages(season):
    assert told(opened(season_book(season, TODAY), data_only=True)["Season"]) == lines_of(season)


def test_changed_cells_change_the_totals(season, recalculated):
    workbook = opened(season_book(season, TODAY))
    before = told(recalculated(workbook)["Season"])
    usages = workbook["Usages"]
    for row in range(6, usages.max_row + 1):
        usages.cell(row, 15).value = 0
    workbook["Rates"]["B9"] = 0.5
    after = told(recalculated(workbook)["Season"])
    # nothing is likely: the forecast is what is committed, which no likelihood moves but a rate does
    assert [line[6] for line in after.values()] == [line[4] for line in after.values()]
    assert after["All", "Both"][4] < before["All", "Both"][4]


def test_totals_follow_from_the_cells_of_usages_and_rates(season, recalculated):
    """Reckon the sums again in decimals from what LibreOffice shows on the other sheets."""
    workbook = recalculated(opened(season_book(season, TODAY)))
    rates = {row[0]: row[1] for row in workbook["Rates"].iter_rows(min_row=6, values_only=True)}
    sums = {}
    for row in workbook["Usages"].iter_rows(min_row=6, values_only=True):
        currency, side = row[5], row[4]
        for figure, amount in zip(FIGURES, (*row[7:13], row[15]), strict=True):
            place = (row[0], side, figure, currency)
            sums[place] = sums.get(place, Decimal(0)) + Decimal(str(amount or 0))
    for (code, side), line in told(workbook["Season"]).items():
        if side == "Both" or code == "All":
            continue
        for figure, shown in zip(FIGURES, line, strict=False):
            parts = [
                (amount * Decimal(str(rates[currency]))).quantize(Decimal("0.01"), ROUND_HALF_UP)
                for (at, of, name, currency), amount in sums.items()
                if (at, of, name) == (code, side, figure) and rates[currency] is not None
            ]
            assert float(sum(parts, Decimal(0))) == shown


def test_episode_workbook_has_the_totals_of_its_page(season, recalculated):
    episode = season.episodes.select_related("season__production", "current_cut").first()
    shown = episode_forecast(episode, TODAY).total
    lines = told(recalculated(opened(episode_book(episode, TODAY)))["Episode"])
    assert [lines["All", side.label][6:] for side in shown.sides] == [
        [pounds(side.figures.forecast.converted.minor), *left_of(side.headroom)] for side in shown.sides
    ]


def test_rates_stand_on_their_own_sheet_with_their_source(season):
    rates = list(opened(season_book(season, TODAY))["Rates"].iter_rows(min_row=6, values_only=True))
    assert [(row[0], row[1], row[3]) for row in rates] == [
        ("GBP", 1, "The currency of the production"),
        ("EUR", 0.8702, "EUR/GBP 0.8702 of 2026-11-25 (a bank)"),
        ("JPY", None, "No rate is recorded: enter one in the column of rates"),
        ("USD", 0.7588, "USD/GBP 0.7588 of 2026-11-25 (a bank)"),
    ]


def test_currency_without_rate_counts_once_one_is_entered(season, recalculated):
    workbook = opened(season_book(season, TODAY))
    before = told(recalculated(workbook)["Season"])
    workbook["Rates"]["B8"] = 0.005
    after = told(recalculated(workbook)["Season"])
    # JPY 99,999 and 1 at 0.005 are 500.00 and 0.01 (half a penny up)
    assert round(after["All", "Both"][0] - before["All", "Both"][0], 2) == 500.01


def test_titles_that_look_like_formulas_stay_text(season):
    usages = opened(season_book(season, TODAY))["Usages"]
    cells = [
        cell for row in usages.iter_rows(min_row=6, max_col=4) for cell in row if str(cell.value or "")[:1] in "=@"
    ]
    assert {(cell.value, cell.data_type) for cell in cells if cell.value} == {
        ("=SUM(A1:A9)", "s"),
        ("@Halves, +1", "s"),
    }


def test_amounts_have_the_decimals_of_their_currency(season):
    usages = opened(season_book(season, TODAY))["Usages"]
    formats = {row[5].value: row[7].number_format for row in usages.iter_rows(min_row=6) if row[7].value is not None}
    assert formats == {"USD": "#,##0.00;-#,##0.00", "JPY": "#,##0;-#,##0"}


def test_same_figures_make_the_same_file(season):
    assert money_workbook(season_book(season, TODAY)) == money_workbook(season_book(season, TODAY))


def test_season_without_episodes_is_a_sheet_of_noughts(recalculated):
    lines = told(recalculated(opened(season_book(SeasonFactory(), TODAY)))["Season"])
    assert lines == {("All", side): [0.0] * 7 + [None] * 3 for side in ("Sync", "Master", "Both")}


@pytest.mark.parametrize("usages", [10, 200])
def test_workbook_queries_do_not_grow_with_usages(usages, django_assert_num_queries):
    season = season_of(usages)
    with django_assert_num_queries(12):
        season_book(season, TODAY)


def test_episode_workbook_asks_eleven_queries(django_assert_num_queries):
    episode = EpisodeFactory()
    with django_assert_num_queries(11):
        episode_book(episode, TODAY)
