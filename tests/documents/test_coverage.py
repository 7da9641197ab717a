"""The proof on paper: its words read back, and that twelve holders, long names and other scripts fit."""

from dataclasses import replace
from datetime import date
from fractions import Fraction

import pypdfium2
import pytest
from django.utils import translation

from supervision.documents.coverage import coverage_html, coverage_pdf, days_text
from supervision.documents.paper import PageSize
from supervision.rules.clearance import Side, Stage
from supervision.rules.coverage import Grant, PlanWindow
from supervision.rules.exchange import Rates
from supervision.rules.findings import Finding, Level
from supervision.rules.media import Media
from supervision.rules.money import Money
from supervision.rules.proof import Offer, Plan, PlanLine, ProofEpisode, ProofHolder, ProofSide, prove
from supervision.rules.term import Term
from supervision.rules.territory import WORLD, Territory

TODAY, AIR = date(2026, 11, 25), date(2026, 12, 2)
EPISODE = ProofEpisode("WEIR-101", "The Weir", "Season 1", "101 Low Water", "Weir Pictures", "USD", AIR)
LONG = "The Very Long Name of a Publisher That Has Merged with Several Others and Kept All of Their Names Ltd"


def plan(territory="World excl. US", media="SVOD"):
    window = PlanWindow(Media.parse(media), Territory.parse(territory), Term(AIR))
    return Plan((PlanLine(window, "first run"),))


def side(holders, title="Evening Tide", at=1):
    return ProofSide(f"1M{at} {title}, sync", at, f"1M{at}", title, Side.SYNC, title, None, tuple(holders))


def holder(name, share=100, *, stage=Stage.REQUESTED, grants=(), offers=()):
    return ProofHolder(name, 1, Fraction(share), WORLD, stage, "", tuple(grants), tuple(offers))


def proven(*sides, of=None, **more):
    return prove(EPISODE, plan() if of is None else of, sides, today=TODAY, rates=Rates([]), **more)


def text_of(proof, page=PageSize.A4):
    document = pypdfium2.PdfDocument(coverage_pdf(proof, page=page))
    return [" ".join(each.get_textpage().get_text_bounded().split()) for each in document]


def test_covered_episode_says_so_with_its_plan():
    grant = Grant(Media.parse("all media"), WORLD, Term(AIR))
    (text,) = text_of(proven(side([holder("Mole", stage=Stage.LICENSED, grants=[grant])]), of=plan("UK")))
    for words in ("Covered: 1 usage checked", "SVOD UK from 2 December 2026, open end first run", "Nothing."):
        assert words in text
    assert "Gaps" not in text


def test_episode_without_plan_is_not_proven():
    text = " ".join(text_of(proven(of=Plan())))
    assert "Not proven: there is no release plan." in text
    assert "No window is planned for the episode or its season." in text


@pytest.mark.parametrize("size", PageSize)
def test_twelve_holders_with_long_names_in_three_scripts_stay_on_the_page(size):
    names = [LONG, "دار النشر للموسيقى", "潮騒音楽出版株式会社", *(f"{LONG[:60]} {at}" for at in range(9))]
    holders = [holder(name, Fraction(100, 12)) for name in names]
    proof = proven(*(side(holders, title, at) for at, title in enumerate((LONG, "نور الميناء", "潮騒の手紙"), start=1)))
    document = pypdfium2.PdfDocument(coverage_pdf(proof, page=size))
    text = " ".join(" ".join(each.get_textpage().get_text_bounded().split()) for each in document)
    assert text.count("潮騒音楽出版株式会社, 8.3333… %, requested") == 3
    assert text.count("requested") == 72  # each holder of each song lacks in a gap and blocks the broadcast
    for each in document:
        page_text = each.get_textpage()
        edges = [page_text.get_charbox(at)[2] for at in range(page_text.count_chars())]
        assert max(edges) <= each.get_width() - 13 * 72 / 25.4


def test_running_foot_counts_pages_and_names_the_day():
    pages = text_of(proven(*(side([holder("Mole")], f"Song {at}", at) for at in range(1, 60))))
    assert len(pages) > 2
    for number, text in enumerate(pages, start=1):
        assert f"WEIR-101 · proof of 25 Nov 2026 Page {number} of {len(pages)}" in text


def test_options_and_findings_are_told():
    late = Grant(Media.parse("SVOD"), WORLD, Term(AIR))
    offers = [Offer(7, "Extension", "Mole", late, Money(125_000, "USD"), date(2027, 1, 31))]
    found = Finding(Level.WARNING, "grant-too-short", "Mole", "Mole grants 30 s.", "Ask for the longer use.")
    (text, *_) = text_of(proven(side([holder("Mole", offers=offers)]), findings=[found]))
    assert "These options close every gap. Together they cost USD 1,250.00." in text
    assert "Extension of Mole, USD 1,250.00, open until 31 January 2027" in text
    assert "Warning · Mole: Mole grants 30 s. Ask for the longer use." in text


def test_paper_is_in_its_readers_language():
    late = Grant(Media.parse("SVOD"), WORLD, Term(AIR))
    offers = [Offer(7, "Extension", "Mole", late, Money(125_000, "USD"), date(2027, 1, 31))]
    with translation.override("fr"):
        pages = text_of(proven(side([holder("Mole", offers=offers)]), of=plan()))
    text = " ".join(pages).replace("\N{NO-BREAK SPACE}", " ").replace("\N{NARROW NO-BREAK SPACE}", " ")
    for words in (
        "Monde sauf US",
        "à partir du 2 décembre 2026, fin ouverte",
        "Ensemble, elles coûtent 1 250,00 USD.",
        "ouverte jusqu’au 31 janvier 2027",
        "Allemagne",
        "et les pays à venir",
        "WEIR-101 · établi le 25 nov. 2026 Page 1 sur",
    ):
        assert words in text, words


def test_without_fees_none_is_printed():
    late = Grant(Media.parse("SVOD"), WORLD, Term(AIR))
    offers = [Offer(7, "Extension", "Mole", late, Money(125_000, "USD"), None)]
    (text, *_) = text_of(proven(side([holder("Mole", offers=offers)]), fees=False))
    assert ("1,250.00" in text, "These options close every gap." in text, "Extension of Mole" in text) == (
        False,
        True,
        True,
    )


def test_choice_that_is_not_exact_says_so():
    late = Grant(Media.parse("SVOD"), WORLD, Term(AIR))
    offers = [Offer(7, "Extension", "Mole", late, Money(125_000, "USD"), None)]
    proof = proven(side([holder("Mole", offers=offers)]))
    doubtful = replace(proof, closing=replace(proof.closing, exact=False))
    assert "There may be a cheaper choice" in coverage_html(doubtful)
    assert "There may be a cheaper choice" not in coverage_html(proof)


def test_share_that_nobody_is_known_to_hold_is_told():
    (text, *_) = text_of(proven(side([holder("Mole", 90)])))
    assert "Mole, 90 %, requested nobody known for 10 %" in text


def test_markup_in_names_is_text():
    html = coverage_html(proven(side([holder("<img src=x>")], "<script>alert(1)</script>")))
    assert ("<script>" in html, "<img" in html) == (False, False)


@pytest.mark.parametrize(
    ("term", "words"),
    [
        (Term(AIR, date(2031, 12, 2)), "2 December 2026 to 1 December 2031"),
        (Term(AIR), "from 2 December 2026, open end"),
        (Term(None, AIR), "until 1 December 2026"),
        (Term(), "always"),
    ],
)
def test_days_name_the_last_day_included(term, words):
    assert days_text(term) == words
