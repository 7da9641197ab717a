"""The components: what they say, and what axe and the content security policy have to say about all of them at once.

axe-core's rules are those of WCAG 2.2, levels A and AA, and its own best practice.
"""

import re
from datetime import UTC, datetime

import pytest
from axe_playwright_python.sync_playwright import Axe
from django import forms
from django.contrib import messages
from django.contrib.messages.storage.cookie import CookieStorage
from django.core.paginator import Paginator
from django.test import RequestFactory

from supervision.rules.clearance import Stage
from supervision.rules.findings import Finding, Level
from supervision.rules.money import Money
from supervision.web.htmx import answer
from supervision.web.marks import Bar, Lane
from tests.web.scratch import SITE, drawn, scratch_templates, serve


class QuoteForm(forms.Form):
    amount = forms.CharField(help_text="Like 1,234.50.")
    currency = forms.ChoiceField(choices=[("USD", "USD"), ("EUR", "EUR")])
    basis = forms.ChoiceField(choices=[("whole", "100 %"), ("share", "Share")], widget=forms.RadioSelect)
    favoured = forms.BooleanField(label="Most favoured nations", required=False)
    note = forms.CharField(widget=forms.Textarea, required=False)
    version = forms.IntegerField(widget=forms.HiddenInput)


def refused_form():
    form = QuoteForm({"currency": "USD", "basis": "whole", "version": "3"})
    form.full_clean()
    form.add_error(None, "The quote is older than the request.")
    return form


def gallery_context():
    lanes = [Lane.SOURCE, Lane.THEME, Lane.SCORE, Lane.SOURCE]
    kinds = ["pre_existing", "owned", "commissioned", "library"]
    return {
        "title": "Low Water",
        "lede": "Forty-two minutes.",
        "crumbs": [("The Long Harbour", "/"), ("Season 1", "/")],
        "tabs": [
            {"label": "Log", "url": "/", "current": True, "count": 42},
            {"label": "Money", "url": "/", "current": False},
        ],
        "bars": [
            Bar(
                start * 9000,
                start * 9000 + 12000,
                lanes[start % 4],
                f"1M{start}",
                kinds[start % 4],
                "/usage/",
                "Late." * (start % 2),
            )
            for start in range(9)
        ],
        "stages": ["", *(stage.code for stage in Stage)],
        "fee": Money(1234567, "USD"),
        "amounts": [("Estimated", Money(1234567, "USD")), ("Quoted", Money(2234567, "USD"))],
        "figures": [
            {"label": "Licensed", "value": "31", "note": "of 44"},
            {"label": "Blocks air", "value": "5", "note": "soon", "alert": True},
        ],
        "filter_form": QuoteForm(auto_id="filter-%s"),
        "form": refused_form(),
        "page": Paginator(range(120), 50).page(2),
        "findings": [Finding(level, "shares", "2M14", "Shares add up to 96.50 %.", "Add the rest.") for level in Level],
        "entries": [
            {
                "at": datetime(2026, 11, 25, 9, tzinfo=UTC),
                "by": "Ines Marlowe",
                "text": "sent the request",
                "detail": "by post",
            }
        ],
        "pairs": [("Artist", "The Lanterns"), ("Label", None)],
    }


def text_of(html):
    return " ".join(re.sub(r"<title>.*?</title>|<[^>]+>", " ", html).split())


@pytest.fixture(scope="module")
def gallery():
    return drawn("gallery.html", gallery_context())


def test_no_component_carries_a_style_attribute_or_an_inline_script(gallery):
    assert re.findall(r"\sstyle=|<style|\son[a-z]+=|<script(?![^>]*\bsrc=)", gallery) == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [1440, 360])
def test_gallery_satisfies_axe_and_the_security_policy(browser, gallery, width, scheme):
    page = browser.new_page(viewport={"width": width, "height": 900}, color_scheme=scheme)
    complaints = serve(page, lambda request: (200, gallery))
    page.goto(f"{SITE}/")
    found = Axe().run(page).response["violations"]
    assert [(rule["id"], [node["html"] for node in rule["nodes"]]) for rule in found] == []
    assert complaints == []
    assert page.evaluate("document.documentElement.scrollWidth - innerWidth") == 0
    page.close()


def test_split_mark_with_words_says_both_sides_once(gallery):
    mark = gallery[gallery.index('<span class="split-mark">') :]
    assert text_of(mark[: mark.index("</span></span></span>")]) == "Sync Nobody asked yet Master Licensed"


def test_form_summary_links_to_each_wrong_field():
    html = drawn("components/form_errors.html", {"form": refused_form()})
    assert text_of(html) == (
        "Not saved yet: please mend this The quote is older than the request. Amount : This field is required."
    )
    assert re.findall(r'href="#([^"]+)"', html) == ["id_amount"]


def test_form_without_errors_has_no_summary():
    assert drawn("components/form_errors.html", {"form": QuoteForm()}).strip() == ""


def test_field_is_described_by_its_help_and_its_error():
    html = drawn("components/field.html", {"field": refused_form()["amount"]})
    described = re.search(r'aria-describedby="([^"]+)"', html)[1].split()
    assert described == ["id_amount_helptext", "id_amount_error"]
    assert [part for part in described if f'id="{part}"' in html] == described


def test_field_that_may_be_blank_says_so():
    html = drawn("components/field.html", {"field": QuoteForm()["note"]})
    assert text_of(html) == "Note optional"


def test_findings_say_their_level_in_words():
    html = drawn("components/findings.html", {"findings": gallery_context()["findings"]})
    assert re.findall(r"</svg>(Error|Warning|Note)<", html) == ["Error", "Warning", "Note"]


def test_definitions_show_a_dash_for_what_is_not_known():
    assert text_of(drawn("components/definitions.html", gallery_context())) == "Artist The Lanterns Label – none"


def test_crumbs_and_tabs_say_where_one_is(gallery):
    assert text_of(drawn("components/crumbs.html", gallery_context())) == "The Long Harbour Season 1"
    assert re.findall(r'aria-current="page">(\w+)', drawn("components/tabs.html", gallery_context())) == ["Log"]


def test_pagination_keeps_the_filter_in_its_links():
    html = drawn("components/pagination.html", gallery_context(), RequestFactory().get("/", {"side": "sync"}))
    assert re.findall(r'<a [^>]*href="([^"]+)"', html) == ["?side=sync&amp;page=1", "?side=sync&amp;page=3"]
    assert "Page 2 of 3 · 51–100 of 120" in text_of(html)


def test_pagination_of_one_page_is_not_shown():
    assert drawn("components/pagination.html", {"page": Paginator(range(3), 50).page(1)}).strip() == ""


@pytest.mark.parametrize(
    ("order", "link", "sort"),
    [("", "?order=song", []), ("song", "?order=-song", ["ascending"]), ("-song", "?order=song", ["descending"])],
)
def test_column_head_sorts_the_other_way_next(order, link, sort):
    html = drawn("components/sort_head.html", {"label": "Song", "key": "song", "order": order})
    assert re.findall(r'<a href="([^"]+)"', html) == [link]
    assert re.findall(r'aria-sort="([^"]+)"', html) == sort


def test_empty_list_without_a_next_step_has_no_button():
    assert "<a" not in drawn("components/empty.html", {"heading": "No usages yet"})


@pytest.mark.parametrize("template", ["400.html", "403.html", "403_csrf.html", "404.html", "500.html"])
def test_error_page_stands_without_any_context(template):
    with scratch_templates():
        html = drawn(template, {})
    assert re.search(r"<h1>\s*[A-Z][^<]+</h1>", html)
    assert '<a class="button main" href="/productions/">' in html


def asked(**headers):
    request = RequestFactory().get("/", headers=headers)
    request._messages = CookieStorage(request)
    return request


def answered(request):
    with scratch_templates():
        return answer(request, "parted.html", {"word": "tide"}, part="word")


def test_answer_to_a_browser_is_the_whole_page():
    response = answered(asked())
    assert response.content.decode().split() == ["before", "tide", "after"]
    assert response["Vary"] == "HX-Request"


@pytest.mark.parametrize("header", ["HX-Boosted", "HX-History-Restore-Request"])
def test_answer_to_a_boosted_link_or_the_history_is_the_whole_page(header):
    response = answered(asked(**{"HX-Request": "true", header: "true"}))
    assert response.content.decode().split() == ["before", "tide", "after"]


def test_answer_to_htmx_is_the_part():
    assert answered(asked(**{"HX-Request": "true"})).content.decode().strip() == "tide"


def test_answer_to_htmx_brings_the_messages_along():
    request = asked(**{"HX-Request": "true"})
    messages.success(request, "Quote recorded.")
    html = answered(request).content.decode()
    assert re.findall(r'id="messages"[^>]* hx-swap-oob="true"', html) != []
    assert text_of(html) == "tide Quote recorded."
