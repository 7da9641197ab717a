"""Which language a page is in, and what its reader's country does to figures and days."""

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from babel.numbers import format_decimal
from django.contrib.messages import get_messages
from django.urls import reverse
from django.utils import translation

from supervision.rules.errors import BadValue
from supervision.rules.money import Money, money_text
from supervision.rules.sentence import counted, figures, joined, say, say_as
from supervision.templatetags.display import money
from supervision.web.language import catalogues_are_made, tell, tell_day, tell_figures
from tests.factories.accounts import UserFactory

pytestmark = pytest.mark.django_db
CHROME = '<html lang="fr">'


@pytest.fixture
def french():
    with translation.override("fr"):
        yield


def page(client, **headers):
    return client.get(reverse("sign-in"), headers=headers).content.decode()


# --- which language -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("wanted", "language"),
    [("", "en-gb"), ("en-US,en;q=0.9", "en-gb"), ("fr-CA,fr;q=0.9,en;q=0.5", "fr"), ("de-DE,de;q=0.9", "en-gb")],
)
def test_stranger_reads_the_browsers_language_where_the_site_has_it(client, wanted, language):
    assert f'<html lang="{language}">' in page(client, **{"accept-language": wanted})


def test_chosen_language_stays_in_a_strangers_browser(client):
    response = client.post(reverse("language"), {"language": "fr", "back": reverse("sign-in")})
    assert response.status_code == 302
    assert response.url == reverse("sign-in")
    assert CHROME in page(client)


def test_chosen_language_follows_a_person_to_another_machine(client):
    person = UserFactory()
    client.force_login(person)
    client.post(reverse("language"), {"language": "fr"})
    client.cookies.clear()
    client.force_login(person)
    assert CHROME in client.get(reverse("home")).content.decode()
    assert person.language == "" != type(person).objects.get(pk=person.pk).language


def test_persons_language_goes_before_the_browsers(client):
    client.force_login(UserFactory(language="en-gb"))
    assert CHROME not in client.get(reverse("home"), headers={"accept-language": "fr"}).content.decode()


@pytest.mark.parametrize("language", ["xx", "", "fr-XX", "../fr"])
def test_language_that_the_site_lacks_is_refused(client, language):
    response = client.post(reverse("language"), {"language": language})
    assert response.status_code == 400
    assert "foot of the page" in response.content.decode()


@pytest.mark.parametrize("back", ["https://elsewhere.example/", "//elsewhere.example", "javascript:alert(1)", ""])
def test_choice_of_language_leads_to_no_other_site(client, back):
    assert client.post(reverse("language"), {"language": "fr", "back": back}).url == reverse("home")


def test_language_is_chosen_by_post_alone(client):
    assert client.get(reverse("language")).status_code == 405


def test_foot_of_the_page_offers_each_language_in_its_own_words(client):
    english, french = page(client), page(client, **{"accept-language": "fr"})
    assert 'value="fr" lang="fr">Français</button>' in english
    assert 'value="en-gb" lang="en-gb" aria-pressed="true">English</button>' in english
    assert 'value="fr" lang="fr" aria-pressed="true">Français</button>' in french
    assert 'value="en-gb" lang="en-gb">English</button>' in french


def test_api_speaks_english_to_everybody(client):
    client.force_login(UserFactory(language="fr"))
    response = client.get("/api/v1/productions/0/", headers={"accept-language": "fr"})
    assert response.headers["Content-Language"].startswith("en")
    assert "productions" in client.get("/api/v1/", headers={"accept-language": "fr"}).content.decode().lower()


def test_admin_is_in_english(client):
    client.force_login(UserFactory(language="fr", is_staff=True, is_superuser=True))
    assert "Site administration" in client.get("/admin/").content.decode()


# --- how it is said -----------------------------------------------------------------------------------------------


def test_sentence_is_told_with_what_fills_it(french):
    with translation.override("fr"):
        inner = money_text(Money(123_450, "EUR"))
        told = tell(say("{fee}, {day}", fee=inner, day=date(2026, 12, 5)))
        assert told == "1\N{NARROW NO-BREAK SPACE}234,50\N{NO-BREAK SPACE}EUR, 5 déc. 2026"
    with translation.override("en-gb"):
        told = say("{fee}, {day}", fee=inner, day=date(2026, 12, 5))
        assert tell(told) == tell(joined([told])) == "EUR 1,234.50, 5 Dec 2026"
        assert tell(told.lower()) == "eur 1,234.50, 5 dec 2026"
        assert told == "EUR 1,234.50, 2026-12-05"


def test_moment_is_told_in_the_sites_time_zone(french):
    assert tell(say("{at}", at=datetime(2026, 12, 5, 14, 5, tzinfo=UTC))) == "5 déc. 2026, 14:05"


def test_text_that_the_catalogue_lacks_is_told_in_english(french):
    assert tell(say("No catalogue has {this}.", this="that")) == "No catalogue has that."
    assert tell(counted(2, "{number} oddity", "{number} oddities")) == "2 oddities"
    assert tell(say_as("nowhere", "Odd")) == "Odd"
    assert tell(joined([say("Odd"), "odder"])) == "Odd odder"


def test_places_of_a_sentence_are_escaped_once(french):
    told = say("No catalogue has {this}.", this="<b>&</b>").__html__()
    assert told == "No catalogue has &lt;b&gt;&amp;&lt;/b&gt;."


@pytest.mark.parametrize("number", ["0", "7", "12.5", "1234.5", "1234567.89", "-1234.25"])
def test_figures_are_those_of_the_unicode_cldr(french, number):
    """Unicode CLDR, by Babel."""
    english = format_decimal(Decimal(number), locale="en_GB")
    assert tell_figures(english) == format_decimal(Decimal(number), locale="fr")
    assert tell(figures(english)) == format_decimal(Decimal(number), locale="fr")


MONTHS = "janv. févr. mars avr. mai juin juil. août sept. oct. nov. déc."


@pytest.mark.parametrize(("month", "word"), list(enumerate(MONTHS.split(), start=1)))
def test_months_are_those_of_the_unicode_cldr(french, month, word):
    """Unicode CLDR, French, abbreviated months."""
    assert tell_day(date(2026, month, 9)) == f"9 {word} 2026"
    with translation.override("en-gb"):
        assert tell_day(date(2026, 9, month)) == f"{month} Sep 2026"


def test_first_of_a_month_is_said_as_french_says_it(french):
    """*Lexique des règles typographiques en usage à l'Imprimerie nationale*: the first alone is an ordinal."""
    assert [tell_day(date(2026, 12, day)) for day in (1, 2, 21)] == ["1er déc. 2026", "2 déc. 2026", "21 déc. 2026"]
    with translation.override("en-gb"):
        assert tell_day(date(2026, 12, 1)) == "1 Dec 2026"


def test_money_on_a_page_has_its_currency_behind_it(french):
    assert money(Money(123_450, "USD")) == (
        '<span class="money">1\N{NARROW NO-BREAK SPACE}234,50\N{NO-BREAK SPACE}<span class="currency">USD</span></span>'
    )


def test_refusal_is_told_on_a_page_and_not_in_the_api(client, french):
    refused = BadValue("odd", say("There is no such role."), mend=say("Choose one of the list."))
    assert str(refused) == "There is no such role. Choose one of the list."


def test_message_to_the_next_page_is_told_as_it_is_left(rf, french):
    from django.contrib.messages import success  # noqa: PLC0415 - beside the storage that it fills

    from supervision.web.language import ToldMessages  # noqa: PLC0415

    request = rf.get("/")
    request.session = {}
    request._messages = ToldMessages(request)
    success(request, say("{currency} {amount}", currency="EUR", amount="3"))
    assert [str(message) for message in get_messages(request)] == ["3\N{NO-BREAK SPACE}EUR"]


def test_language_without_its_compiled_catalogue_is_warned_of(settings, tmp_path):
    (tmp_path / "fr" / "LC_MESSAGES").mkdir(parents=True)
    source = tmp_path / "fr" / "LC_MESSAGES" / "django.po"
    source.touch()
    settings.LOCALE_PATHS = [tmp_path]
    assert [warning.msg for warning in catalogues_are_made()] == [
        "The catalogue of fr is not compiled, so its pages are in English."
    ]
    source.with_suffix(".mo").touch()
    assert list(catalogues_are_made()) == []
