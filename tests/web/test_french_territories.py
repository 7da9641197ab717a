"""Territories and media in French: what a page says can be typed, and countries have the names that CLDR gives them."""

import pytest
from django.utils import translation

from supervision.management import translations
from supervision.rules.media import Media, Medium
from supervision.rules.territory import Territory, territory_said
from supervision.rules.territory_atlas import country_name
from supervision.rules.territory_french import GROUP_NAMES
from supervision.rules.territory_groups import GROUPS
from supervision.web.language import tell


@pytest.fixture
def in_french():
    with translation.override("fr"):
        yield


def test_every_group_is_named_as_in_the_catalogue():
    catalogue = translations.catalogue("fr")
    said = {str(group.label): catalogue.get(group.label).string for group in GROUPS}
    assert {label: GROUP_NAMES.get(label, label) for label in said} == said


@pytest.mark.parametrize(
    ("english", "french"),
    [
        ("World excl. US, CA", "Monde sauf CA, US"),
        ("EU excl. FR", "UE sauf FR"),
        ("Nordics + EEA", "EEE"),
        ("World excl. (EU excl. FR)", "Monde sauf UE (sauf FR)"),
        ("World", "Monde"),
    ],
)
@pytest.mark.usefixtures("in_french")
def test_territory_is_told_and_read_back(english, french):
    territory = Territory.parse(english)
    assert tell(territory.text) == french
    assert Territory.parse(french) == territory


@pytest.mark.parametrize("medium", Medium)
@pytest.mark.usefixtures("in_french")
def test_medium_is_read_back_as_it_is_told(medium):
    assert Media.parse(tell(Media.of(medium).text)) == Media.of(medium)


@pytest.mark.usefixtures("in_french")
def test_all_media_but_some_are_told_and_read_back():
    media = Media.parse("all media excl. theatrical, soundtrack")
    assert tell(media.text) == "tous médias sauf salles de cinéma"
    assert Media.parse(tell(media.text)) == media


@pytest.mark.usefixtures("in_french")
def test_countries_have_the_names_of_cldr():
    assert [tell(country_name(code)) for code in ("DE", "US", "XK")] == ["Allemagne", "États-Unis", "Kosovo"]


@pytest.mark.parametrize("stored", ["Klingon space", "", "US, CA"])
def test_text_that_is_no_stored_territory_stays_as_it_is(stored):
    assert territory_said(stored) == stored
