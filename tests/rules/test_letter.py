"""What a quote-request letter says.

The contents of the letters and the difference between sync and master are ``common practice, no published source``
(Brabec & Brabec's articles; Documentary.org, "All Clear?"; the Musicians' Union's specimen licences).
"""

from datetime import date
from decimal import Decimal

import pytest

from supervision.rules.clearance import Side
from supervision.rules.frozen import from_plain, to_plain
from supervision.rules.letter import Addressee, LetterContent, Portion, number_of, reference, usual_rights
from supervision.rules.letter_writing import how_used, write_letter
from supervision.rules.usage import Facets, Function, ThemePosition, Vocal
from tests.factories.letters import letter_facts, song

TODAY = date(2026, 11, 25)


def written(*songs, **more):
    return write_letter(letter_facts(*songs, **more), reference="WEIR-101/S-0001", dated=TODAY)


def everything(letter):
    return str(to_plain(letter))


def test_letter_says_that_nothing_is_granted():
    assert written().caution == (
        "This is a request for a quotation. No rights are granted until a licence has been signed, and a quotation "
        "commits neither of us to the use. Any licence is subject to contract and to review by counsel."
    )


def test_sync_letter_asks_for_the_share_and_for_the_other_publishers():
    letter = written()
    assert letter.heading == "Synchronisation: request for a quotation"
    assert "your share" in letter.fee
    assert "who administers the remaining shares, where you know it;" in letter.questions


def test_master_letter_asks_for_samples_unions_and_label_copy():
    letter = written(side=Side.MASTER)
    assert letter.heading == "Master use: request for a quotation"
    assert "100 % of the recording" in letter.fee
    for question in (
        "whether the recording contains samples or other material of third parties;",
        "whether payments for the new use (re-use) are due to musicians or their unions;",
        "the courtesy credit you require, and the label copy;",
    ):
        assert question in letter.questions


@pytest.mark.parametrize("side", Side)
def test_letter_asks_for_a_quotation_and_names_no_fee(side):
    letter = written(side=side)
    assert letter.fee.startswith("Please quote")
    assert not {"USD", "EUR", "GBP", "$", "€", "£"} & set(everything(letter).split())


def test_subject_names_two_songs_and_counts_the_rest():
    songs = [song("Evening Tide"), song("Evening Tide"), song("Towpath Girl"), song("Bells"), song("Sluice")]
    assert written(*songs[:1]).subject == "“Evening Tide” in The Weir, Season 1, Episode 101 “Low Water”"
    assert written(*songs).subject.startswith("“Evening Tide”, “Towpath Girl” and 2 more in The Weir")


def test_salutation_falls_back_on_the_holder():
    assert written().salutation == "Dear Tove Alder,"
    assert written(addressee=Addressee(name="Weirside Records")).salutation == "Dear Weirside Records,"


def test_answer_is_wanted_by_a_day_in_words():
    assert written().answer == "We would be grateful for your answer by 9 December 2026."
    assert written(answer_by=None).answer == "We would be grateful for your answer as soon as you can give it."


def test_rights_are_asked_in_the_words_of_the_trade():
    rights = usual_rights("series")
    assert rights.media == "all media now known or hereafter devised, excluding theatrical"
    assert (rights.territory, rights.term) == ("worldwide", "in perpetuity")
    assert usual_rights("feature").media == "all media now known or hereafter devised"


def test_share_of_a_song_adds_up_what_is_held_for_others():
    held = (Portion(name="A", share=Decimal("33.34")), Portion(name="B", share=Decimal("16.66")))
    assert song(portions=held).share == Decimal(50)


@pytest.mark.parametrize(
    ("facets", "words"),
    [
        (Facets(), "background, instrumental"),
        (Facets(vocal=Vocal.VOCAL), "background, with vocals"),
        (Facets(seen=True), "background, its source seen, instrumental"),
        (Facets(Function.ON_SCREEN, seen=True, vocal=Vocal.VOCAL), "performed or played on screen, with vocals"),
        (Facets(Function.THEME), "theme, instrumental"),
        (Facets(Function.THEME, ThemePosition.OPENING), "opening theme, instrumental"),
        (Facets(Function.THEME, ThemePosition.CLOSING), "closing theme, instrumental"),
        (Facets(Function.THEME, ThemePosition.SEGMENT), "theme of a segment, instrumental"),
        (Facets(Function.LOGO), "with a logo, instrumental"),
        (Facets(Function.BUMPER), "into or out of a break, instrumental"),
        (Facets(Function.ROLLED_UP), "background, in several passages, instrumental"),
    ],
)
def test_use_is_told_in_words_and_not_in_codes(facets, words):
    assert how_used(facets) == words


def test_reference_counts_and_reads_back():
    assert reference("TIDE-101", Side.SYNC, 7) == "TIDE-101/S-0007"
    assert reference("TIDE-101", Side.MASTER, 12345) == "TIDE-101/M-12345"
    assert [number_of(text) for text in ("TIDE-101/S-0007", "TIDE-101/M-12345", "by hand", "")] == [7, 12345, 0, 0]


def test_letter_is_the_same_after_it_was_frozen():
    letter = written(song(writers=("Ida Reed",), iswc="T0345246801"), song("夕凪の歌"))
    assert from_plain(LetterContent, to_plain(letter)) == letter
