"""A sentence is English text, and remembers what it was made of."""

import copy
import json
import pickle
from datetime import UTC, date, datetime

import pytest

from supervision.rules import sentence
from supervision.rules.sentence import as_json, counted, figures, joined, listed, of_json, say, say_as


@pytest.fixture
def shouting():
    """A teller that shows what was told by it."""
    sentence.tell_by(lambda text: f"<{text.upper()}>")
    yield
    from supervision.web.language import tell  # noqa: PLC0415 - what the site named when it started

    sentence.tell_by(tell)


def test_sentence_reads_as_the_english_with_its_places_filled():
    made = say("{title} airs on {day}.", title="Low Water", day=date(2026, 12, 5))
    assert made == "Low Water airs on 2026-12-05."
    assert hash(made) == hash("Low Water airs on 2026-12-05.")
    assert made.saying.one == "{title} airs on {day}."
    assert made.saying.values == {"title": "Low Water", "day": date(2026, 12, 5)}
    assert json.dumps([made]) == '["Low Water airs on 2026-12-05."]'


@pytest.mark.parametrize(("number", "text"), [(0, "0 usages"), (1, "1 usage"), (2, "2 usages")])
def test_counted_sentence_goes_by_its_number(number, text):
    assert counted(number, "{number} usage", "{number} usages") == text


def test_braces_of_a_text_without_values_stay():
    assert say("Write {exact}.") == "Write {exact}."


def test_context_is_no_part_of_the_english():
    assert say_as("of a side", "Denied") == "Denied"
    assert say_as("of a side", "Denied").saying.context == "of a side"


def test_sentence_is_told_where_it_becomes_html_and_nowhere_else(shouting):
    made = say("Low & high")
    assert made.__html__() == "&lt;LOW &amp; HIGH&gt;"
    assert str(made) is made
    assert f"{made}" == made == "Low & high"


def test_row_of_sentences_leaves_out_what_is_empty():
    assert joined(["Sync", "", "Master"], between=", ") == "Sync, Master"
    assert joined([]) == ""


@pytest.mark.parametrize(("parts", "text"), [("a", "a"), ("ab", "a and b"), ("abc", "a, b and c")])
def test_list_ends_with_and(parts, text):
    assert listed(parts) == text


def test_small_letters_keep_the_sentence():
    assert say("Denied").lower() == "denied"
    assert say("Denied").lower().of == "Denied"


def test_filling_what_has_no_places_keeps_the_sentence():
    made = say("There is no such role.")
    assert made % {"name": "membership_role_known"} is made
    assert say("%(name)s is broken.") % {"name": "x"} == "x is broken."


def test_copies_are_the_sentence_itself_and_other_processes_get_english():
    made = say("{number} of them", number=3)
    assert copy.copy(made) is copy.deepcopy([made])[0] is made
    thawed = pickle.loads(pickle.dumps(made))  # noqa: S301 - our own bytes
    assert thawed == made
    assert type(thawed) is str


def test_place_that_nothing_fills_is_an_error_of_ours():
    with pytest.raises(KeyError):
        say("{title} is locked.", name="x")


def test_numeral_is_its_text():
    assert figures("1,234.50") == "1,234.50"


KEPT = [
    "plain text",
    say("Nothing is left to do."),
    say_as("of a side", "Denied"),
    say("Line {line}: {text}", line=3, text=say("{rate} is taken.", rate="25")),
    counted(2, "{number} usage of {title}", "{number} usages of {title}", title="Low Water"),
    joined([say("Sync"), "R12"], between="; "),
    listed([say("Sync"), say("Master")]),
    say("Denied").lower(),
    say("{number} events", number=figures("1,234")),
    say("Due on {day}.", day=date(2026, 12, 5)),
    say("Sent at {at}.", at=datetime(2026, 12, 5, 14, 5, tzinfo=UTC)),
]


@pytest.mark.parametrize("text", KEPT, ids=str)
def test_text_comes_back_from_json_with_what_it_was_made_of(text, shouting):
    thawed = of_json(json.loads(json.dumps(as_json(text))))
    assert type(thawed) is type(text)
    assert thawed == text
    assert as_json(thawed) == as_json(text)


def test_what_is_kept_can_be_read_in_the_file():
    assert as_json(say("{title} is locked.", title="Cut 2")) == {
        "say": "{title} is locked.",
        "values": {"title": "Cut 2"},
    }


@pytest.mark.parametrize("value", [1.5, object(), None, b"x"])
def test_value_that_would_not_come_back_is_not_kept(value):
    with pytest.raises(TypeError, match="cannot be kept in a sentence"):
        as_json(say("{x}", x=value))


@pytest.mark.parametrize("kept", [None, [], {}, {"said": "x"}, 1.5])
def test_what_is_no_text_is_refused(kept):
    with pytest.raises(ValueError, match="no text"):
        of_json(kept)
