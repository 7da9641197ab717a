"""The trade's words at the foot of each page: every page that has any is a page, and every word is explained and used."""

import pytest
from django.urls import reverse

from supervision.web.urls import urlpatterns
from supervision.web.words import PAGES, WORDS, words_of
from tests.factories.accounts import UserFactory


def test_words_belong_to_pages_that_exist():
    assert set(PAGES) - {route.name for route in urlpatterns} == set()


def test_every_word_is_explained_in_a_sentence_and_used_by_a_page():
    used = {word for words in PAGES.values() for word in words}
    assert used == set(WORDS)
    assert {word for word, meaning in WORDS.items() if not meaning.endswith(".")} == set()


def test_no_page_explains_a_word_twice():
    assert {page for page, words in PAGES.items() if len(set(words)) != len(words)} == set()
    assert words_of("reckoner") == []


@pytest.mark.django_db
def test_page_explains_its_words(client):
    client.force_login(UserFactory())
    page = client.get(reverse("work-list")).content.decode()
    assert f"<dt>ISWC</dt><dd>{WORDS['ISWC']}</dd>" in page
    assert "page-words" not in client.get(reverse("reckoner")).content.decode()
