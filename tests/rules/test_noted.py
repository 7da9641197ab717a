"""Notes of a clearance that the house made are known again; people's own words are theirs."""

from datetime import date

import pytest

from supervision.rules.asks import Asked, broken
from supervision.rules.clearance import Reason, Stage
from supervision.rules.noted import RETIRED, deed_said, said_again
from supervision.rules.sentence import Joined, Lowered, Sentence, say

ASKED = Asked(30, 1, "On the pier", "background", "", seen=False, vocal="instrumental")
CHANGED = [
    Asked(45, 1, "On the pier", "background", "", seen=False, vocal="instrumental"),
    Asked(30, 2, "On the pier", "background", "", seen=False, vocal="instrumental"),
    Asked(30, 1, "Where? “There.” It is dark", "background", "", seen=True, vocal="vocal"),
    Asked(45, 3, "", "background", "", seen=True, vocal="vocal"),
]


@pytest.mark.parametrize("note", [*(reason.label for reason in Reason), RETIRED])
def test_fixed_note_is_the_same_sentence(note):
    assert said_again(str.__str__(note)).saying == note.saying


@pytest.mark.parametrize("now", CHANGED)
@pytest.mark.parametrize("asked", [ASKED, Asked(None, 1, "", "background", "", seen=False, vocal="instrumental")])
def test_broken_question_is_said_in_its_sentences(asked, now):
    reasons = broken(asked, now)
    again = said_again(" ".join(reasons))
    assert again == " ".join(reasons)
    said = again.parts if isinstance(again, Joined) else (again,)
    assert [each.saying.one for each in said] == [each.saying.one for each in reasons]


@pytest.mark.parametrize("party", ["Gannet (sync)", "Gannet (Oslo) (master, Paper Tides (live))"])
def test_side_of_who_raises_is_a_word_of_the_house(party):
    told = said_again(f"Raised by most favoured nations with {party}.")
    assert told == f"Raised by most favoured nations with {party}."
    assert isinstance(told.saying.values["party"].saying.values["side"], Lowered)


def test_holder_without_a_side_stays_as_it_is():
    assert said_again("Raised by most favoured nations with Gannet (Oslo).").saying.values == {"party": "Gannet (Oslo)"}


def test_what_fills_a_sentence_comes_back_with_it():
    [reason] = broken(ASKED, CHANGED[0])
    assert dict(said_again(str(reason)).saying.values) == {"long": "0:45", "before": "0:30"}


@pytest.mark.parametrize(
    "note",
    [
        "licence MR-1",
        "licence MR-1, paid on 2026-11-02",
        "licence MR-1, invoice 7 of 2026-11-01",
        "licence MR-1, invoice 7 of 2026-11-01, paid on 2026-11-02",
        "Raised by most favoured nations with Gannet (master, Paper Tides).",
    ],
)
def test_note_of_a_deed_is_a_sentence(note):
    again = said_again(note)
    assert again == note
    assert isinstance(again, Sentence)
    assert again.saying.values.get("number", "MR-1") == "MR-1"


@pytest.mark.parametrize("note", ["", "The writer does not want it.", "It is 0:45 long now; it was asked for up"])
def test_peoples_own_words_and_what_was_cut_off_stay(note):
    assert said_again(note) == note
    assert not isinstance(said_again(note), Sentence)


@pytest.mark.parametrize("stage", Stage)
def test_step_in_the_history_is_a_sentence(stage):
    assert isinstance(deed_said(f"made {stage.label.lower()}"), Sentence)


@pytest.mark.parametrize("verb", ["reminded", "recorded the credit of"])
def test_deed_that_names_its_row_elsewhere_stands_alone_in_the_history(verb):
    assert isinstance(deed_said(verb), Sentence)
    assert not deed_said(verb).endswith(" of")


def test_unknown_deed_stays():
    assert deed_said("hummed") == "hummed"


def test_a_sentence_with_a_day_reads_as_before():
    assert say("it was valid until {day}", day=date(2026, 12, 5)) == "it was valid until 2026-12-05"
