"""Expressions: the grammar shared by territories and media, tried on a small vocabulary of letters.

The grammar is common practice in licences, no published source; what is checked is that an expression means what its
brackets say, and that text with two readings is refused.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from supervision.rules.errors import BadValue
from supervision.rules.expression import DEEPEST_BRACKETS, LONGEST_TEXT, Vocabulary, read, tokens_of

A, B, C, D = 1, 2, 4, 8
LETTERS = {"A": A, "B": B, "C": C, "D": D}
NAMES = {**LETTERS, "All": 15, "Left": A | B, "Right": C | D, "Trinidad and Tobago": A, "Korea, Republic of": B}
TOY = Vocabulary("letter", "All", NAMES, {"Korea": "Write “Korea, Republic of”."})


def refusal(text):
    with pytest.raises(BadValue) as caught:
        read(text, TOY, place="field")
    assert caught.value.place == "field"
    assert caught.value.mend
    return caught.value


@pytest.mark.parametrize(
    ("text", "meaning"),
    [
        ("A", A),
        ("a", A),
        ("(A)", A),
        ("((A))", A),
        ("A, B", A | B),
        ("A & B", A | B),
        ("A and B", A | B),
        ("A/B", A | B),
        ("A + B", A | B),
        ("A plus B", A | B),
        ("A; B", A | B),
        ("A incl. B", A | B),
        ("A, B, and C", A | B | C),
        ("the A", A),
        ("Trinidad & Tobago, C", A | C),
        ("Korea, Republic of, C", B | C),
        ("All excl. A", B | C | D),
        ("All excl. A, B", C | D),
        ("All excl. A and B", C | D),
        ("All excl. A/B", C | D),
        ("All (excl. A)", B | C | D),
        ("All, excluding A", B | C | D),
        ("All except A", B | C | D),
        ("All except for A", B | C | D),
        ("All excepting A", B | C | D),
        ("All ex A", B | C | D),
        ("All exc. A", B | C | D),
        ("All exclusive of A", B | C | D),
        ("All without A", B | C | D),
        ("All minus A", B | C | D),
        ("All - A", B | C | D),
        ("All – A", B | C | D),
        ("All −A", B | C | D),
        ("All other than A", B | C | D),
        ("All but not A", B | C | D),
        ("All apart from A", B | C | D),
        ("All not including A", B | C | D),
        ("All excludes A", B | C | D),
        ("All excl. (Left excl. A)", A | C | D),
        ("All excl. Left (excl. A)", A | C | D),
        ("All excl. Left (excl. A), D", A | C),
        ("All excl. (A, B)", C | D),
        ("Left excl. A; C", B | C),
        ("Left excl. A incl. C", B | C),
        ("Left excl. A including A", A | B),
        ("A (incl. B)", A | B),
        ("A (inclusive of B)", A | B),
        ("A includes B", A | B),
        ("(Left excl. A) + (Right excl. C)", B | D),
        ("Left (excl. A) (incl. C)", B | C),
        ("A excl. A", 0),
        ("Left + C excl. A", B | C),
        ("Left, C excl. A", B | C),
        ("Left, C excl. C", A | B),
        # An exception to an exclusion, and a further exclusion.
        ("All excl. Left excl. A", A | C | D),
        ("Left excl. (Left excl. B) excl. B", 0),
        ("All excl. A excl. B", C | D),
        ("All excl. Left excl. A excl. A", C | D),
        ("All excl. Left, Right excl. A", A),
        ("All excl. Left excl. A excl. D", A | C),
        # After an exclusion "+" adds what lies wholly outside of what is left.
        ("Left excl. A + C", B | C),
        ("Left excl. A + C excl. C", B),
        ("All excl. Left + A", A | C | D),
        ("Left excl. A + C, D", B | C | D),
    ],
)
def test_read_expression(text, meaning):
    assert read(text, TOY) == meaning


@pytest.mark.parametrize(
    ("text", "code", "words"),
    [
        ("", "letter-missing", "The letter is missing. Write for example “All”."),
        ("  \n", "letter-missing", "The letter is missing. Write for example “All”."),
        ("X", "letter-unknown", "There is no letter “x”. Use a known letter name or code."),
        ("Rihgt", "letter-unknown", "There is no letter “rihgt”. Did you mean Right?"),
        ("Korea", "letter-ambiguous", "“korea” has more than one meaning. Write “Korea, Republic of”."),
        ("A B", "letter-not-joined", "Nothing joins “a” and “b”. Put “,” or “excl.” between them."),
        ("A X", "letter-unknown", "There is no letter “a x”. Use a known letter name or code."),
        ("X A", "letter-unknown", "There is no letter “x a”. Use a known letter name or code."),
        (
            "Trinidad and Tobago A",
            "letter-not-joined",
            "Nothing joins the parts after “trinidad & tobago”. Put “,” or “excl.” between.",
        ),
        ("A (B)", "letter-not-joined", "Nothing joins the parts after “a”. Put “,” or “excl.” between."),
        ("A,", "letter-incomplete", "A letter is missing after “a ,”. Add the letter or remove the last sign."),
        ("A + , ", "letter-incomplete", "A letter is missing after “a + ,”. Add the letter or remove the last sign."),
        (",A", "letter-incomplete", "A letter is missing. Add the letter or remove the last sign."),
        ("()", "letter-incomplete", "A letter is missing after “(”. Add the letter or remove the last sign."),
        ("A excl.", "letter-incomplete", "A letter is missing after “a excl”. Add the letter or remove the last sign."),
        (
            "A (excl.)",
            "letter-incomplete",
            "A letter is missing after “a ( excl”. Add the letter or remove the last sign.",
        ),
        ("excl. A", "letter-exclusion", "It does not say what the exclusion is taken from. Write “All excl. …”."),
        ("A + (excl. B)", "letter-exclusion", "It does not say what the exclusion is taken from. Write “All excl. …”."),
        ("(A", "letter-bracket", "A closing bracket is missing. Add “)”."),
        ("A)", "letter-bracket", "There is a closing bracket too many. Remove it."),
        ("\x1b[31m", "letter-unknown", "There is no letter “? [ 31m”. Use a known letter name or code."),
        # "+ B" would add nothing, so it was perhaps meant to be left out as well.
        (
            "All excl. A + B",
            "letter-two-readings",
            "“excl a + b” can be read in two ways. Put brackets around what belongs together.",
        ),
        (
            "All excl. A + Left",
            "letter-two-readings",
            "“excl a + left” can be read in two ways. Put brackets around what belongs together.",
        ),
        # From both, or from Left alone, which leaves A in through All?
        (
            "A + Left excl. A",
            "letter-two-readings",
            "“+ left excl a” can be read in two ways. Put brackets around what belongs together.",
        ),
        (
            "All excl. A excl. Left",
            "letter-two-readings",
            "“excl a excl left” can be read in two ways. Put brackets around what belongs together.",
        ),
    ],
)
def test_read_refused(text, code, words):
    caught = refusal(text)
    assert (caught.code, str(caught)) == (code, words)


def test_read_refuses_long_text():
    assert read("A" + " " * (LONGEST_TEXT - 1), TOY) == A
    caught = refusal("A" + " " * LONGEST_TEXT)
    assert caught.code == "letter-too-long"
    assert str(caught) == "The letter is longer than 10000 characters. Use group names and exclusions."


def test_read_refuses_deep_brackets():
    assert read("(" * DEEPEST_BRACKETS + "A" + ")" * DEEPEST_BRACKETS, TOY) == A
    caught = refusal("(" * (DEEPEST_BRACKETS + 1) + "A" + ")" * (DEEPEST_BRACKETS + 1))
    assert caught.code == "letter-nesting"
    assert str(caught) == "Brackets are nested deeper than 20. Simplify it."
    side_by_side = " + ".join(["(A)"] * (DEEPEST_BRACKETS + 1))
    assert read(side_by_side, TOY) == A


@pytest.mark.parametrize(
    ("text", "tokens"),
    [
        ("Côte d’Ivoire", ("cote", "divoire")),
        ("U.S.A.", ("usa",)),
        ("Guinea-Bissau", ("guinea", "bissau")),
        ("the Bahamas (The)", ("bahamas", "(", ")")),
        ("World - US", ("world", "minus", "us")),
        ("free_tv", ("free", "tv")),
        ("A and B&C", ("a", "&", "b", "&", "c")),
    ],
)
def test_tokens_ignore_accents_dots_and_hyphens(text, tokens):
    assert tokens_of(text) == tokens


@st.composite
def bracketed(draw, depth=3):
    """An expression in full brackets with its meaning."""
    if depth == 0 or draw(st.booleans()):
        name = draw(st.sampled_from(["A", "B", "C", "D", "All", "Left", "Right"]))
        return name, NAMES[name]
    left, left_meaning = draw(bracketed(depth - 1))
    right, right_meaning = draw(bracketed(depth - 1))
    if draw(st.booleans()):
        return f"({left}) + ({right})", left_meaning | right_meaning
    return f"({left}) excl. ({right})", left_meaning & ~right_meaning


@given(bracketed())
def test_read_bracketed_is_set_algebra(example):
    text, meaning = example
    assert read(text, TOY) == meaning


@given(st.text(alphabet="ABCDX ()+,&;/-", max_size=40))
def test_read_any_signs_gives_set_or_refusal(text):
    try:
        meaning = read(text, TOY)
    except BadValue as caught:
        meaning = 0 if caught.mend else None
    assert meaning in range(16)
