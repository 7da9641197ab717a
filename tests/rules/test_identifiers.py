"""Identifiers against numbers that their registries publish, and against python-stdnum where it covers them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stdnum import isan, isni, isrc
from stdnum.iso7064 import mod_37_36

from supervision.rules.errors import BadValue
from supervision.rules.findings import Finding, Level
from supervision.rules.identifiers import Scheme, canonical, check_identifier, display_form, read_scheme

# Scheme, as typed, stored, for people; with who published the number.
PUBLISHED = [
    (Scheme.ISWC, "T-034.524.680-1", "T0345246801", "T-034.524.680-1"),  # ISO 15707, its example
    (Scheme.ISWC, "T-000.000.001-0", "T0000000010", "T-000.000.001-0"),  # ISO 15707, first of the range
    (Scheme.ISRC, "US-S1Z-99-00001", "USS1Z9900001", "US-S1Z-99-00001"),  # ISO 3901, its example
    (Scheme.ISRC, "US-SKG-19-12345", "USSKG1912345", "US-SKG-19-12345"),  # python-stdnum
    (Scheme.ISRC, "USEPW1000164", "USEPW1000164", "US-EPW-10-00164"),  # DDEX Digital Sales Report part 8
    (Scheme.IPI, "00014107338", "00014107338", "00014107338"),  # CISAC
    (Scheme.IPI, "00334284961", "00334284961", "00334284961"),  # CISAC, guide to IPI numbers
    (Scheme.IPI_BASE, "I-001068130-6", "I0010681306", "I-001068130-6"),  # CISAC
    (Scheme.ISAN, "0000-0001-8947-0000-8-0000-0000-D", "0000000189470000800000000D",
     "0000-0001-8947-0000-8-0000-0000-D"),  # ISAN International Agency
    (Scheme.ISAN, "0000-0000-D07A-0090-Q-0000-0000-X", "00000000D07A0090Q00000000X",
     "0000-0000-D07A-0090-Q-0000-0000-X"),  # ISAN International Agency
    (Scheme.ISAN, "1881-66C7-3420-0000-3", "188166C7342000003", "1881-66C7-3420-0000-3"),  # ISO 15706 since 2002: not 7
    (Scheme.EIDR, "10.5240/7791-8534-2C23-9030-8610-5", "10.5240/7791-8534-2C23-9030-8610-5",
     "10.5240/7791-8534-2C23-9030-8610-5"),  # EIDR, ID Format v1.3
    (Scheme.EIDR, "10.5240/07A9-90F4-F212-704C-0523-9", "10.5240/07A9-90F4-F212-704C-0523-9",
     "10.5240/07A9-90F4-F212-704C-0523-9"),  # EIDR, ID Format v1.3
    (Scheme.ISNI, "0000 0001 2281 955X", "000000012281955X", "0000 0001 2281 955X"),  # python-stdnum
]  # fmt: skip

# Scheme, as typed, and what its check digit would have to be.
WRONG = [
    (Scheme.ISWC, "T-034.524.680-8", "digit 8", "1"),
    (Scheme.ISWC, "T-034.524.680-2", "digit 2", "1"),
    (Scheme.IPI, "00123456789", "number 89", "90"),
    (Scheme.IPI, "00123456703", "number 03", "90"),
    (Scheme.IPI, "00014107339", "number 39", "38"),
    (Scheme.IPI_BASE, "I-123456789-0", "digit 0", "3"),
    (Scheme.ISAN, "0000-0001-8CFA-0000-A-0000-0000-K", "character A", "I"),  # python-stdnum
    (Scheme.ISAN, "1881-66C7-3420-0000-7", "character 7", "3"),  # right in the ISO working draft of 2000 only
    (Scheme.EIDR, "10.5240/7791-8534-2C23-9030-8610-6", "character 6", "5"),
    (Scheme.ISNI, "0000 0001 2281 9551", "character 1", "X"),
    (Scheme.ISNI, "0000 0001 1111 955X", "character X", "8"),
]


@pytest.mark.parametrize(("scheme", "typed", "stored", "shown"), PUBLISHED)
def test_published_identifier_is_right_in_every_form(scheme, typed, stored, shown):
    check = check_identifier(scheme, typed)
    assert (check.valid, check.canonical, check.display) == (True, stored, shown)
    assert (check.scheme, check.typed) == (scheme, typed)
    assert (check.reason, check.caution, check.mend, check.code) == (None, None, "", "")
    assert check.finding(Level.ERROR, "work") is None
    assert canonical(scheme, typed.lower()) == canonical(scheme, stored) == canonical(scheme, shown) == stored
    assert display_form(scheme, stored) == shown


@pytest.mark.parametrize(("scheme", "typed", "written", "expected"), WRONG)
def test_wrong_check_digit_is_told_with_the_right_one(scheme, typed, written, expected):
    check = check_identifier(scheme, typed)
    assert (check.valid, check.canonical, check.display, check.code) == (False, "", "", "identifier-check")
    assert check.reason == f"The check {written} does not fit the rest, which gives {expected}."
    assert check.mend == "Compare it with the source: a character is mistyped, or two are swapped."


def test_second_check_character_of_a_versioned_isan_is_checked():
    check = check_identifier(Scheme.ISAN, "0000-0001-8947-0000-8-0000-0000-E")
    assert check.reason == "The last check character E does not fit the rest, which gives D."


@pytest.mark.parametrize(
    ("scheme", "typed"),
    [(Scheme.EIDR, "10.5240/7791-8534-2C32-9030-8610-5"), (Scheme.ISAN, "0000-0000-3ABD-0000-Z")],
)
def test_transposed_digits_are_found(scheme, typed):
    assert check_identifier(scheme, typed).code == "identifier-check"


@pytest.mark.parametrize(
    ("scheme", "typed", "stored"),
    [
        (Scheme.ISWC, "T0345246801", "T0345246801"),
        (Scheme.ISWC, "t 034 524 680 1", "T0345246801"),
        (Scheme.ISWC, "ISWC T-034.524.680-1", "T0345246801"),
        (Scheme.ISWC, "ISWC: T-034.524.680-1", "T0345246801"),
        (Scheme.ISWC, "0345246801", "T0345246801"),
        (Scheme.ISWC, "T\u2011034.524.680\u20131", "T0345246801"),
        (Scheme.ISWC, "\ufeffT-034.524.680-1\u00a0\u200b", "T0345246801"),
        (Scheme.ISWC, "\N{FULLWIDTH LATIN CAPITAL LETTER T}-034.524.680-\N{FULLWIDTH DIGIT ONE}", "T0345246801"),
        (Scheme.ISRC, "us s1z 99 00001", "USS1Z9900001"),
        (Scheme.ISRC, "ISRC US-S1Z-99-00001", "USS1Z9900001"),
        (Scheme.ISRC, "ISRC:USS1Z9900001", "USS1Z9900001"),
        (Scheme.ISRC, "ISRCUSS1Z9900001", "USS1Z9900001"),
        (Scheme.ISRC, "ISRC11212345", "ISRC11212345"),
        (Scheme.ISRC, "IS-RC1-12-12345", "ISRC11212345"),
        (Scheme.ISRC, "ISRC IS-RC1-12-12345", "ISRC11212345"),
        (Scheme.IPI, "14107338", "00014107338"),
        (Scheme.IPI, "000141073.38", "00014107338"),
        (Scheme.IPI, "IPI 14107338", "00014107338"),
        (Scheme.IPI, "IPI name number: 00014107338", "00014107338"),
        (Scheme.IPI, "CAE/IPI 14107338", "00014107338"),
        (Scheme.IPI, "199", "00000000199"),
        (Scheme.IPI_BASE, "i0010681306", "I0010681306"),
        (Scheme.IPI_BASE, "001068130-6", "I0010681306"),
        (Scheme.IPI_BASE, "IPI base number I-001068130-6", "I0010681306"),
        (Scheme.ISAN, "ISAN 0000-0001-8947-0000-8-0000-0000-D", "0000000189470000800000000D"),
        (Scheme.ISAN, "urn:isan:0000-0001-8947-0000-8-0000-0000-d", "0000000189470000800000000D"),
        (Scheme.ISAN, "0000-0001-8947-0000-8", "00000001894700008"),
        (Scheme.EIDR, "doi:10.5240/7791-8534-2C23-9030-8610-5", "10.5240/7791-8534-2C23-9030-8610-5"),
        (Scheme.EIDR, "https://doi.org/10.5240/7791-8534-2c23-9030-8610-5", "10.5240/7791-8534-2C23-9030-8610-5"),
        (Scheme.EIDR, "http://dx.doi.org/10.5240/7791-8534-2C23-9030-8610-5", "10.5240/7791-8534-2C23-9030-8610-5"),
        (Scheme.EIDR, "EIDR: 10.5240/7791-8534-2C23-9030-8610-5", "10.5240/7791-8534-2C23-9030-8610-5"),
        (Scheme.EIDR, "EIDR doi:10.5240/7791-8534-2C23-9030-8610-5", "10.5240/7791-8534-2C23-9030-8610-5"),
        (Scheme.EIDR, "urn:eidr:10.5240:7791-8534-2C23-9030-8610-5", "10.5240/7791-8534-2C23-9030-8610-5"),
        (Scheme.EIDR, "779185342C23903086105", "10.5240/7791-8534-2C23-9030-8610-5"),
        (Scheme.ISNI, "000000012281955x", "000000012281955X"),
        (Scheme.ISNI, "ISNI 0000-0001-2281-955X", "000000012281955X"),
        (Scheme.ISNI, "https://isni.org/isni/000000012281955X", "000000012281955X"),
        (Scheme.ISNI, "https://www.isni.org/000000012281955X", "000000012281955X"),
    ],
)
def test_identifier_is_read_as_people_type_it(scheme, typed, stored):
    assert canonical(scheme, typed) == stored


@pytest.mark.parametrize(
    ("scheme", "typed", "mend"),
    [
        (Scheme.ISWC, "T-034.524.6-1", "Write T and ten digits, such as T-034.524.680-1."),
        (Scheme.ISWC, "A-034.524.680-1", "Write T and ten digits, such as T-034.524.680-1."),
        (Scheme.ISWC, "T-034.524.680-11", "Write T and ten digits, such as T-034.524.680-1."),
        (Scheme.ISWC, "T-034.524.680-X", "Write T and ten digits, such as T-034.524.680-1."),
        (Scheme.ISRC, "US-SKG-19-1234", None),
        (Scheme.ISRC, "US-SKG-19-123456", None),
        (Scheme.ISRC, "US-SKG1912345", None),
        (Scheme.ISRC, "USS-KG-19-12345", None),
        (Scheme.ISRC, "U1-SKG-19-12345", None),
        (Scheme.ISRC, "USSKG19123456", None),
        (Scheme.ISRC, "ISRC", None),
        (Scheme.IPI, "000141073380", "Write 11 digits, such as 00000000199."),
        (Scheme.IPI, "A0014107338", "Write 11 digits, such as 00000000199."),
        (Scheme.IPI, "99", "Write 11 digits, such as 00000000199."),
        (Scheme.IPI, "I-001068130-6", "That is a base number; the name number has 11 digits and no letter."),
        (Scheme.IPI, "I-001068130", "That is a base number; the name number has 11 digits and no letter."),
        (Scheme.IPI_BASE, "I-0010683-6", "Write I and ten digits, such as I-000000001-9."),
        (Scheme.IPI_BASE, "00014107338", "Write I and ten digits, such as I-000000001-9."),
        (Scheme.ISAN, "0000-0001-8947", None),
        (Scheme.ISAN, "0000-0001-8947-0000-8-0000-0000", None),
        (Scheme.ISAN, "0000-0001-8947-0000-0000-0000-D", None),
        (Scheme.ISAN, "0000-0001-894G-0000-8", None),
        (Scheme.ISAN, "0000-0001-8947-0000-8-0000-0000-DD", None),
        (Scheme.EIDR, "10.5240/7791-8534-2C23-9030-861", None),
        (Scheme.EIDR, "10.5241/7791-8534-2C23-9030-8610-5", None),
        (Scheme.EIDR, "10.5240/7791-8534-2C23-9030-861G-5", None),
        (Scheme.EIDR, "10.5237/7791-8534", "That names a party or a service; a production's begins with 10.5240/."),
        (Scheme.EIDR, "10.5239/7791-8534", "That names a party or a service; a production's begins with 10.5240/."),
        (Scheme.ISNI, "0000 0001 2281 95", "Write 16 digits; the last may be X."),
        (Scheme.ISNI, "0000 0001 2281 95X5", "Write 16 digits; the last may be X."),
        (Scheme.ISNI, "0000 0001 2281 95555", "Write 16 digits; the last may be X."),
    ],
)
def test_identifier_of_another_shape_is_told_with_the_right_one(scheme, typed, mend):
    check = check_identifier(scheme, typed)
    mends = {
        Scheme.ISRC: "Write two letters, three letters or digits, the year's two digits and five digits: US-S1Z-99-00001.",
        Scheme.ISAN: "Write 16 hexadecimal digits and the check character, such as 0000-0001-8947-0000-8.",
        Scheme.EIDR: "Write 10.5240/, 20 hexadecimal digits and the check character: 10.5240/7791-8534-2C23-9030-8610-5.",
    }
    assert (check.valid, check.code) == (False, "identifier-shape")
    assert check.reason == f"“{typed}” is not an {scheme.label}."
    assert check.mend == (mend or mends[scheme])


@pytest.mark.parametrize(
    ("scheme", "typed", "what", "expected"),
    [
        (Scheme.ISWC, "T-034.524.680", "digit", "1"),
        (Scheme.ISWC, "T-034.524.68-0", "digit", "1"),
        (Scheme.IPI_BASE, "I-001068130", "digit", "6"),
        (Scheme.EIDR, "10.5240/7791-8534-2C23-9030-8610", "character", "5"),
        (Scheme.ISNI, "0000 0001 2281 955", "character", "X"),
    ],
)
def test_missing_check_digit_is_told(scheme, typed, what, expected):
    check = check_identifier(scheme, typed)
    assert (check.valid, check.code) == (False, "identifier-check-missing")
    assert check.reason == "It is one character short."
    assert check.mend == (
        f"Compare it with the source. If it is the check {what} at the end that is missing, that is {expected}."
    )


def test_number_that_nobody_has_is_refused():
    for scheme, typed, reason in (
        (Scheme.ISWC, "T-000.000.000-9", "No work has the number 000.000.000."),
        (Scheme.IPI, "00000000000", "No party has the number 0."),
    ):
        check = check_identifier(scheme, typed)
        assert (check.valid, check.code, check.reason) == (False, "identifier-unassigned", reason)
        assert check.mend == "Leave it out if it is unknown."


# ISO 3901 has no check digit. python-stdnum lists the prefixes that agencies were given; lists grow, so ours warns.
def test_strange_prefix_of_a_recording_is_a_warning():
    assert isrc.is_valid("XXSKG1912345") is False
    check = check_identifier(Scheme.ISRC, "XX-SKG-19-12345")
    assert (check.valid, check.canonical, check.display) == (True, "XXSKG1912345", "XX-SKG-19-12345")
    assert check.finding(Level.ERROR, "recording") == Finding(
        Level.WARNING, "identifier-prefix", "recording", "No agency is known for the prefix XX.",
        "Compare the first two letters with the source.",
    )  # fmt: skip
    assert check_identifier(Scheme.ISRC, "QZ-ABC-26-00001").caution is None
    assert check.finding().place == "isrc"


def test_isan_without_check_characters_is_completed_with_a_warning():
    for typed, stored in (
        ("0000-0001-8947-0000", "00000001894700008"),
        ("000000018947000000000000", "0000000189470000800000000D"),
    ):
        check = check_identifier(Scheme.ISAN, typed)
        assert (check.valid, check.canonical) == (True, stored)
        assert check.finding() == Finding(
            Level.WARNING, "identifier-unchecked", "isan",
            "It came without check characters, which are now worked out and prove nothing.",
            "Compare every character with the source.",
        )  # fmt: skip


# Edges of the name number's sum modulo 101, as two open implementations agree on them.
@pytest.mark.parametrize("base", ["000005899", "000005997", "000006888", "000004999", "000005988"])
def test_name_number_whose_sum_leaves_one_or_none_ends_in_00(base):
    assert canonical(Scheme.IPI, f"{base}00") == f"{base}00"


# --- refusing, telling, storing --------------------------------------------------------------------------------------


def test_wrong_identifier_is_an_error_when_typed_here_and_a_warning_when_supplied():
    check = check_identifier(Scheme.ISWC, "T-034.524.680-2")
    reason = "The check digit 2 does not fit the rest, which gives 1."
    assert check.finding() == Finding(Level.ERROR, "identifier-check", "iswc", reason, check.mend)
    assert check.finding(Level.WARNING, "row 7") == Finding(
        Level.WARNING, "identifier-check", "row 7", reason, check.mend
    )


def test_canonical_form_of_a_wrong_identifier_is_refused():
    with pytest.raises(BadValue) as caught:
        canonical(Scheme.ISWC, "T-034.524.680-2", place="works[3].iswc")
    error = caught.value
    assert (error.code, error.place) == ("identifier-check", "works[3].iswc")
    assert str(error) == (
        "The check digit 2 does not fit the rest, which gives 1. "
        "Compare it with the source: a character is mistyped, or two are swapped."
    )
    with pytest.raises(BadValue) as caught:
        canonical(Scheme.ISRC, "x")
    assert caught.value.place == "isrc"


@pytest.mark.parametrize("scheme", Scheme)
@pytest.mark.parametrize("blank", ["", "  ", "\t\n", "\u00a0"])
def test_blank_is_stored_as_nothing_and_is_no_identifier(scheme, blank):
    assert canonical(scheme, blank) == ""
    check = check_identifier(scheme, blank)
    assert (check.valid, check.code, check.reason) == (False, "identifier-blank", "There is no identifier.")
    assert check.mend == "Write it, or leave it out."


@pytest.mark.parametrize("scheme", Scheme)
@pytest.mark.parametrize("typed", [None, 7, 1.5, True, ["T"], b"T", "T" * 101, "0" * 10**6, " " * 101])
def test_what_is_no_text_or_far_too_long_is_no_identifier(scheme, typed):
    check = check_identifier(scheme, typed)
    assert (check.valid, check.code, check.reason) == (False, "identifier-shape", "That is no identifier.")
    assert check.mend == "Give it as text, without anything around it."
    assert check.typed == (typed[:100] if isinstance(typed, str) else "")
    with pytest.raises(BadValue):
        canonical(scheme, typed)


def test_identifier_is_read_up_to_a_hundred_characters():
    assert canonical(Scheme.ISWC, " " * 85 + "T-034.524.680-1") == "T0345246801"
    assert check_identifier(Scheme.ISWC, " " * 86 + "T-034.524.680-1").code == "identifier-shape"
    assert canonical(Scheme.ISWC, " " * 100) == ""


def test_stored_text_that_is_no_identifier_is_shown_as_it_is():
    assert display_form(Scheme.ISWC, "pending") == "pending"
    assert display_form(Scheme.ISWC, "") == ""


def test_scheme_is_read_by_its_name():
    assert [read_scheme(scheme.value) for scheme in Scheme] == list(Scheme)
    assert [scheme.label for scheme in Scheme] == [
        "ISWC", "ISRC", "IPI name number", "IPI base number", "ISAN", "EIDR", "ISNI",
    ]  # fmt: skip


@pytest.mark.parametrize("text", ["", "ISWC", "iban", None, 7, ["iswc"]])
def test_scheme_that_is_not_known_is_refused(text):
    with pytest.raises(BadValue) as caught:
        read_scheme(text)
    assert (caught.value.code, caught.value.place) == ("scheme-unknown", "scheme")
    assert caught.value.text == "The kind of identifier is not known."
    assert caught.value.mend == "Give one of iswc, isrc, ipi, ipi_base, isan, eidr, isni."


# --- laws ------------------------------------------------------------------------------------------------------------

hexadecimal = st.text("0123456789ABCDEF", min_size=20, max_size=20)
digits = st.text("0123456789", min_size=9, max_size=9)


@given(digits)
def test_iswc_and_base_number_take_the_one_digit_that_makes_a_multiple_of_ten(number):
    # The rule of ISO 15707, the other way round: the check digit is added and the sum must end in 0.
    for scheme, letter, start in ((Scheme.ISWC, "T", 1), (Scheme.IPI_BASE, "I", 2)):
        right = [
            check
            for check in range(10)
            if (start + sum(place * int(digit) for place, digit in enumerate(number, 1)) + check) % 10 == 0
        ]
        taken = [check for check in range(10) if check_identifier(scheme, f"{letter}{number}{check}").valid]
        assert taken == ([] if letter == "T" and number == "000000000" else right)


@given(digits)
def test_name_number_takes_exactly_one_check_number(number):
    taken = [check for check in range(100) if check_identifier(Scheme.IPI, f"{number}{check:02}").valid]
    weighted = sum((10 - place) * int(digit) for place, digit in enumerate(number))
    right = [check for check in range(100) if (weighted + check) % 101 == 0 or (check == 0 and weighted % 101 == 1)]
    assert taken == ([] if number == "000000000" else right)
    assert len(right) == 1


@given(hexadecimal, st.text("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ", min_size=1, max_size=1))
def test_isan_and_eidr_are_valid_exactly_when_stdnum_says_so(number, check):
    assert check_identifier(Scheme.EIDR, number + check).valid == mod_37_36.is_valid(number + check)
    assert check_identifier(Scheme.ISAN, number[:16] + check).valid == isan.is_valid(number[:16] + check)
    full = isan.format(number[:16] + number[:8])
    assert check_identifier(Scheme.ISAN, full).display == full
    assert check_identifier(Scheme.ISAN, full[:-1] + check).valid == isan.is_valid(full[:-1] + check)


@given(st.text("0123456789", min_size=15, max_size=15), st.sampled_from("0123456789X"))
def test_isni_is_valid_exactly_when_stdnum_says_so(number, check):
    assert check_identifier(Scheme.ISNI, number + check).valid == isni.is_valid(number + check)


@given(st.from_regex(r"[A-Z]{2}[A-Z0-9]{3}[0-9]{7}", fullmatch=True))
def test_isrc_has_no_findings_exactly_when_stdnum_takes_it(number):
    check = check_identifier(Scheme.ISRC, number)
    assert (check.valid, check.canonical) == (True, number)
    assert (check.finding() is None) == isrc.is_valid(number)
    assert check.display == isrc.format(number)


@given(hexadecimal, st.integers(0, 19), st.sampled_from("0123456789ABCDEF"))
def test_any_one_mistyped_character_of_an_eidr_is_found(number, place, other):
    # ISO 7064: MOD 37,36 finds every single wrong character.
    check = mod_37_36.calc_check_digit(number)
    mistyped = number[:place] + other + number[place + 1 :]
    assert check_identifier(Scheme.EIDR, mistyped + check).valid == (mistyped == number)


@given(st.sampled_from(Scheme), st.text(max_size=120) | st.text("0123456789ABCDEFTIX.-/ :", max_size=40))
def test_any_text_is_read_or_told_what_is_wrong(scheme, typed):
    check = check_identifier(scheme, typed)
    assert check.valid == (check.reason is None) == bool(check.canonical) == bool(check.display)
    if check.valid:
        assert canonical(scheme, check.canonical) == canonical(scheme, check.display) == check.canonical
    else:
        assert check.mend


def test_hostile_text_is_refused():
    for scheme in Scheme:
        for typed in ("\ufdfa" * 100, "IPI" * 33, "ISRC " * 20, "HTTPS://DOI.ORG/" * 6, "-" * 100, "I" * 100):
            assert not check_identifier(scheme, typed).valid
