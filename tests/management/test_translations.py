"""The catalogues say all that the source says, and nothing else, with the same places to fill."""

import re
import string

import pytest

from supervision.management import translations

PLACES = re.compile(r"%\(\w+\)s|</?\w+[^>]*>")

of_each = pytest.mark.parametrize("language", translations.languages())


def _told(message):
    """(English, translation) of each form of a text."""
    if isinstance(message.id, tuple):
        return [(message.id[min(at, 1)], said) for at, said in enumerate(message.string)]
    return [(message.id, message.string)]


def _places(text):
    """What a text leaves open: braces, Django's places and tags."""
    braces = [name for _, name, _, _ in string.Formatter().parse(text) if name] if "%(" not in text else []
    return sorted(set(braces) | set(PLACES.findall(text)))


@of_each
def test_everything_is_translated(language):
    lacking = [message.id for message in translations.lacking(translations.brought_up_to_date(language))]
    assert lacking == []


@of_each
def test_nothing_is_translated_that_is_not_said(language):
    """``make translations`` takes out what the source no longer says."""
    said = {(message.context, message.id) for message in translations.collected()}
    kept = {(message.context, message.id) for message in translations.catalogue(language)}
    assert kept - said == set()


@of_each
def test_translation_leaves_the_same_places_open(language):
    wrong = {
        english: said
        for message in translations.catalogue(language)
        if message.id
        for english, said in _told(message)
        if _places(english) != _places(said)
    }
    assert wrong == {}


@of_each
def test_compiled_catalogue_is_that_of_the_text(language, tmp_path, monkeypatch):
    compiled = translations.path_of(language, "mo").read_bytes()
    monkeypatch.setattr(translations, "FOLDER", tmp_path)
    assert translations.path_of(language).parent.is_relative_to(tmp_path)
    monkeypatch.undo()
    translations.compile_catalogue(language)
    assert translations.path_of(language, "mo").read_bytes() == compiled, "run `make translations`"


def test_french_is_typeset_as_the_imprimerie_nationale_wants_it():
    """*Lexique des règles typographiques en usage à l'Imprimerie nationale*: no plain space before ; : ! ? », no straight quotes."""
    wrong = re.compile(r""" [;:!?»](?=\s|$)|« |(?<=\w)'(?=\w)|[“”]""")
    said = [text for message in translations.catalogue("fr") if message.id for _, text in _told(message)]
    assert [text for text in said if wrong.search(text)] == []
