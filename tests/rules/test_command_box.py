"""The command box: which pages and deeds a few words mean, and which comes first."""

from supervision.rules.command_box import Entry, Kind, fitting
from supervision.rules.sentence import joined, say

EPISODE = Entry(Kind.EPISODE, "104 A Chart of Known Wrecks", "Marram, Season 1", ("log", ("M-104",)), "episode M-104")
MONEY = Entry(Kind.PAGE, "Money", "104 A Chart of Known Wrecks, Marram", ("money", ("M-104",)))
OTHER_MONEY = Entry(Kind.PAGE, "Money", "105 Ilyana’s Half, Marram", ("money", ("M-105",)), near=True)
LOG_MUSIC = Entry(Kind.DEED, "Log music", "105 Ilyana’s Half, Marram", ("log", ("M-105",)), "new usage", near=True)
ALL = [EPISODE, MONEY, OTHER_MONEY, LOG_MUSIC]


def test_number_finds_the_episode_and_not_each_of_its_pages():
    assert fitting("104", ALL, most=9) == [EPISODE]


def test_number_and_page_find_the_page():
    assert fitting("104 mon", ALL, most=9) == [MONEY]
    assert fitting("money wrecks", ALL, most=9) == [MONEY]


def test_what_is_near_comes_before_what_is_not():
    assert fitting("money", ALL, most=9) == [OTHER_MONEY, MONEY]


def test_whole_words_come_before_words_that_are_only_begun():
    begun = Entry(Kind.DEED, "Logarithms", "", ("x", ()))
    assert fitting("log", [begun, LOG_MUSIC], most=9) == [LOG_MUSIC, begun]


def test_further_words_accents_and_apostrophes():
    assert fitting("new usage ilyanas", ALL, most=9) == [LOG_MUSIC]


def test_no_words_find_what_is_near_deeds_first():
    assert fitting("  ", ALL, most=9) == [LOG_MUSIC, OTHER_MONEY]


def test_unknown_word_and_the_limit():
    assert fitting("104 nothing", ALL, most=9) == []
    assert fitting("money", ALL, most=1) == [OTHER_MONEY]


def test_kinds_in_words():
    assert [kind.label for kind in Kind] == ["Do", "Episode", "Season", "Production", "Page"]


def test_words_of_the_readers_language_are_found_beside_the_english_ones():
    french = {"Money": "Finances", "104 A Chart of Known Wrecks, Marram": "104 A Chart of Known Wrecks, Marram"}
    for typed in ("104 finan", "104 money", "wrecks finances"):
        assert fitting(typed, ALL, most=9, tell=lambda text: french.get(text, "")) == [MONEY]
    assert fitting("104 finances", ALL, most=9) == []


def test_sentences_are_told_as_what_they_are():
    heard = []
    place = joined(["Marram", say("Season {number}", number=1)], between=", ")
    fitting(
        "x", [Entry(Kind.PAGE, say("Money"), place, ("money", ()))], most=1, tell=lambda text: heard.append(text) or ""
    )
    assert [type(text).__name__ for text in heard] == ["Sentence", "str", "Joined"]
