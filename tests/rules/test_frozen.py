"""Frozen values: plain data and back, and the digest.

Outside checks: RFC 8785 (JSON Canonicalization Scheme) section 3.2.3 sorts keys by UTF-16 code units and writes no
spaces; FIPS 180-4's SHA-256 of the two octets ``{}`` as printed by any ``sha256sum``.
"""

import json
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from supervision.rules.errors import BadValue, Conflict
from supervision.rules.frozen import canonical, digest, from_plain, thawed, to_plain
from supervision.rules.sentence import Said, say


class Colour(StrEnum):
    RED = "red"
    BLUE = "blue"


@dataclass(frozen=True)
class Leaf:
    name: str
    share: Decimal
    exact: Fraction
    day: date | None


@dataclass(frozen=True)
class Tree:
    count: int
    ready: bool
    colour: Colour
    leaves: tuple[Leaf, ...]
    added_later: str = "default"


texts = st.text(st.characters(codec="utf-8"))
leaves = st.builds(
    Leaf,
    texts,
    st.decimals(allow_nan=False, allow_infinity=False, places=2),
    st.fractions(),
    st.none() | st.dates(),
)
trees = st.builds(
    Tree, st.integers(), st.booleans(), st.sampled_from(Colour), st.lists(leaves, max_size=3).map(tuple), texts
)


@given(trees)
def test_from_plain_undoes_to_plain_through_json_text(tree):
    assert from_plain(Tree, json.loads(json.dumps(to_plain(tree)))) == tree


@given(trees)
def test_digest_is_the_same_whatever_the_order_of_keys(tree):
    plain = to_plain(tree)
    assert digest(dict(reversed(plain.items()))) == digest(plain)


def test_canonical_follows_rfc_8785_for_text_and_whole_numbers():
    # RFC 8785 section 3.2.2.2 and 3.2.3: sorted keys, minimal escapes, other characters as UTF-8.
    plain = {"peach": "This sorting order", "péché": "€$\u000f\nA'B\"\\", "pêche": 1, "sin": [None, True, False]}
    expected = '{"peach":"This sorting order","péché":"€$\\u000f\\nA\'B\\"\\\\","pêche":1,"sin":[null,true,false]}'
    assert canonical(plain) == expected.encode()


def test_digest_of_empty_object_is_sha256_of_two_octets():
    # printf '{}' | sha256sum
    assert digest({}) == "44136fa355b3678a1146ad16f7e8649e94fb4fc21fe77e8310c060f61caaff8a"


def test_from_plain_fills_a_field_that_was_added_later():
    plain = to_plain(Tree(1, ready=True, colour=Colour.RED, leaves=(), added_later="x"))
    del plain["added_later"]
    assert from_plain(Tree, plain).added_later == "default"


@pytest.mark.parametrize(
    ("change", "place"),
    [
        ({"count": "1"}, "count"),
        ({"count": True}, "count"),
        ({"ready": 1}, "ready"),
        ({"colour": "green"}, "colour"),
        ({"colour": None}, "colour"),
        ({"leaves": {}}, "leaves"),
        ({"leaves": [{"name": "n", "share": "x", "exact": "1", "day": None}]}, "leaves[0].share"),
        ({"leaves": [{"name": "n", "share": "1", "exact": "1/0", "day": None}]}, "leaves[0].exact"),
        ({"leaves": [{"name": "n", "share": "1", "exact": "1", "day": "2026-02-30"}]}, "leaves[0].day"),
        ({"leaves": [{"name": "n", "share": "1", "exact": "1"}]}, "leaves[0].day"),
        ({"leaves": ["n"]}, "leaves[0]"),
        ({"unheard_of": 1}, "unheard_of"),
    ],
)
def test_from_plain_names_the_place_that_does_not_fit(change, place):
    plain = to_plain(Tree(1, ready=True, colour=Colour.RED, leaves=())) | change
    with pytest.raises(BadValue) as refused:
        from_plain(Tree, plain)
    assert refused.value.place == place


@pytest.mark.parametrize("value", [1.5, float("nan"), {1}, b"x", Tree])
def test_to_plain_refuses_what_json_would_not_give_back(value):
    with pytest.raises(TypeError):
        to_plain((value,))


def test_thawed_refuses_what_was_changed_after_freezing():
    plain = to_plain(Tree(1, ready=True, colour=Colour.RED, leaves=()))
    kept = digest(plain)
    assert thawed(Tree, plain, kept) == Tree(1, ready=True, colour=Colour.RED, leaves=())
    with pytest.raises(Conflict, match="no longer has its digest"):
        thawed(Tree, plain | {"count": 2}, kept)


@dataclass(frozen=True)
class Note:
    text: Said
    others: tuple[Said, ...] = ()
    plain: str = ""


def test_field_for_sentences_keeps_what_they_were_made_of_and_any_other_is_english():
    note = Note(say("Line {line} is odd.", line=3), (say("Odd"), "as written"), say("Odd"))
    assert to_plain(note) == {
        "text": {"say": "Line {line} is odd.", "values": {"line": 3}},
        "others": [{"say": "Odd"}, "as written"],
        "plain": "Odd",
    }
    thawed = from_plain(Note, to_plain(note))
    assert thawed == note
    assert thawed.text.saying.values == {"line": 3}
    assert type(thawed.plain) is str


def test_what_was_kept_before_there_were_sentences_still_reads():
    assert from_plain(Note, {"text": "Line 3 is odd."}) == Note("Line 3 is odd.")


@pytest.mark.parametrize(
    "text", [3, None, [], {"say": "{line}", "values": {"row": 3}}, {"what": "x"}, {"day": "2026-01-02"}]
)
def test_what_is_no_sentence_is_told_with_its_place(text):
    with pytest.raises(BadValue) as refused:
        from_plain(Note, {"text": text})
    assert refused.value.place == "text"


def test_plain_field_holds_no_sentence():
    with pytest.raises(BadValue):
        from_plain(Note, {"text": "x", "plain": {"say": "x"}})
