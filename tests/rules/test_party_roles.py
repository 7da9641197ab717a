"""Role codes against CISAC CWR08-3615R1, lookup tables Writer Designation and Publisher Type."""

from __future__ import annotations

import pytest

from supervision.rules.errors import BadValue
from supervision.rules.party_roles import PublisherRole, WriterRole, is_writer_role, read_role


def test_roles_are_those_of_the_lookup_table():
    assert {role.value: role.label for role in WriterRole} == {
        "C": "composer",
        "A": "author of the text",
        "CA": "composer and author",
        "AR": "arranger",
        "AD": "adaptor of the text",
        "SR": "sub-arranger",
        "SA": "sub-author",
        "TR": "translator",
        "PA": "income participant (writer)",
    }
    assert {role.value: role.label for role in PublisherRole} == {
        "E": "original publisher",
        "AM": "administrator",
        "AQ": "acquirer",
        "ES": "substituted publisher",
        "SE": "sub-publisher",
        "PA": "income participant (publisher)",
    }


def test_role_of_writer_is_told_from_a_publishers():
    assert [code for code in ("C", "A", "CA", "AR", "AD", "SR", "SA", "TR") if not is_writer_role(code)] == []
    assert [code for code in ("E", "AM", "AQ", "ES", "SE", "PA", "", "X", "c") if is_writer_role(code)] == []
    assert is_writer_role(WriterRole.PA)
    assert not is_writer_role(PublisherRole.PA)


@pytest.mark.parametrize("role", [*WriterRole, *PublisherRole], ids=repr)
def test_role_reads_back_with_its_list(role):
    read = read_role(f" {role.value.lower()} ", writer=isinstance(role, WriterRole))
    assert (read, type(read)) == (role, type(role))


def test_role_pa_is_a_publishers_unless_told():
    assert type(read_role("PA")) is PublisherRole
    assert type(read_role("PA", writer=False)) is PublisherRole
    assert type(read_role("PA", writer=True)) is WriterRole
    assert type(read_role("CA")) is WriterRole


@pytest.mark.parametrize(
    ("code", "writer", "text", "mend"),
    [
        ("x", None, "“X” is not a role code.", "Give one of C, A, CA, AR, AD, SR, SA, TR, PA, E, AM, AQ, ES, SE."),
        ("E", True, "“E” is not a role code.", "Give one of C, A, CA, AR, AD, SR, SA, TR, PA."),
        ("C", False, "“C” is not a role code.", "Give one of E, AM, AQ, ES, SE, PA."),
        ("", True, "There is no role code to read.", "Give one of C, A, CA, AR, AD, SR, SA, TR, PA."),
        (None, False, "There is no role code to read.", "Give one of E, AM, AQ, ES, SE, PA."),
        (7, False, "There is no role code to read.", "Give one of E, AM, AQ, ES, SE, PA."),
        ("y" * 5000, False, "“YYYYYYYYYY” is not a role code.", "Give one of E, AM, AQ, ES, SE, PA."),
    ],
)
def test_role_that_is_not_listed_is_refused(code, writer, text, mend):
    with pytest.raises(BadValue) as caught:
        read_role(code, writer=writer, place="parties[1].role")
    error = caught.value
    assert (error.code, error.place, error.text, error.mend) == ("role-unknown", "parties[1].role", text, mend)


def test_role_refusal_is_placed_at_the_role():
    with pytest.raises(BadValue) as caught:
        read_role("x")
    assert caught.value.place == "role"
