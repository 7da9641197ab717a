"""Shares of a work: what is wrong with a split, party by party, each with its mend.

The values live in ``party_roles`` (who does what), ``percent`` (exact figures, printing) and ``split`` (entries, the
two conventions); their names may be imported from here. Edits are those of CISAC CWR19-1070
(Common Works Registration), transaction level. Registration refuses what breaks them; here they are errors
where the sum is wrong and warnings where a role looks wrong, since a cue sheet is not a registration. The tolerance of
0.06 is published for a total of 100; on a sheet with 100 for each side, applying it to each side is our policy.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from enum import StrEnum
from fractions import Fraction

from supervision.rules.errors import BadValue
from supervision.rules.findings import Finding, Level
from supervision.rules.party_roles import PublisherRole, WriterRole, is_writer_role, read_role
from supervision.rules.percent import (
    TOLERANCE,
    intended,
    intended_shares,
    parse_share,
    printed_shares,
    share_text,
    share_words,
)
from supervision.rules.sentence import Sentence, say
from supervision.rules.split import (
    HALF,
    WHOLE,
    Convention,
    Conversion,
    ShareEntry,
    Totals,
    Unknown,
    converted,
    in_public_domain,
    printed,
    read_convention,
    read_entry,
    totals,
    unknown,
    within,
)

__all__ = [
    "TOLERANCE",
    "Convention",
    "Conversion",
    "PublisherRole",
    "Right",
    "ShareEntry",
    "Totals",
    "Unknown",
    "WriterRole",
    "check_shares",
    "converted",
    "in_public_domain",
    "intended",
    "intended_shares",
    "is_writer_role",
    "parse_share",
    "printed",
    "printed_shares",
    "read_convention",
    "read_entry",
    "read_role",
    "share_text",
    "share_words",
    "totals",
    "unknown",
]

_COMPOSERS = frozenset({WriterRole.C, WriterRole.CA})
_AUTHORS = frozenset({WriterRole.A, WriterRole.CA})
_OWNERS = frozenset({PublisherRole.E, PublisherRole.ES, PublisherRole.AQ})
_FOR_OTHERS = frozenset({PublisherRole.AM, PublisherRole.SE})


class Right(StrEnum):
    """The right that shares are stated for, by its code in works registration."""

    PERFORMANCE = "PR"
    MECHANICAL = "MR"
    SYNCHRONISATION = "SR"

    @property
    def label(self) -> str:
        """The right in words."""
        return _RIGHTS[self]


_RIGHTS = {
    Right.PERFORMANCE: say("performance"),
    Right.MECHANICAL: say("mechanical"),
    Right.SYNCHRONISATION: say("synchronisation"),
}


def check_shares(
    parties: Sequence[ShareEntry], convention: Convention, right: Right = Right.PERFORMANCE
) -> list[Finding]:
    """What is wrong with the split, totals first. ``place`` is a party's name or number, ``writers`` or ``publishers``.

    Only shares of performance are ever stated out of 200. Never raises.
    """
    if not parties:
        return [
            Finding(
                Level.ERROR, "no-parties", say("writers"), say("There is no writer."), say("Name who wrote the music.")
            )
        ]
    try:
        stated = totals(parties)
    except BadValue as error:
        return [Finding(Level.ERROR, error.code, error.place, error.text, error.mend)]
    return [
        *_totals(parties, stated, convention, right),
        *_public_domain(parties),
        *_writer_roles(parties),
        *_publisher_roles(parties),
        *_names(parties),
    ]


def _totals(parties: Sequence[ShareEntry], stated: Totals, convention: Convention, right: Right) -> list[Finding]:
    if in_public_domain(parties):
        return _total_of_public_domain(stated)
    if not stated.together:
        return [_no_shares()]
    wrong = _wrong_convention(stated, convention, right)
    if wrong:
        return [wrong]
    if convention is Convention.HUNDRED:
        found = _against(stated.together, WHOLE, say("shares"), say("All shares"))
        return [*found, *(_halves(stated) if right is Right.PERFORMANCE else ())]
    if not any(not party.is_writer for party in parties):
        return [*_against(stated.writers, WHOLE, say("writers"), say("The writers' shares")), _no_publisher()]
    return [
        *_against(stated.writers, WHOLE, say("writers"), say("The writers' shares")),
        *_against(stated.publishers, WHOLE, say("publishers"), say("The publishers' shares")),
    ]


def _total_of_public_domain(stated: Totals) -> list[Finding]:
    """Edit 24: all writers in the public domain, so ownership totals 0. Edit 31: two societies refuse such works."""
    if stated.together:
        return [
            Finding(
                Level.ERROR,
                "public-domain-total",
                say("shares"),
                say(
                    "All writers are in the public domain, and shares of {share} are stated.",
                    share=share_words(stated.together),
                ),
                say("Set every share to 0, or name the arranger whose share it is."),
            )
        ]
    return [
        Finding(
            Level.NOTE,
            "public-domain-work",
            say("shares"),
            say("The work is in the public domain and has no shares; GEMA and SGAE do not register such works."),
            say("List the cue all the same: its duration counts."),
        )
    ]


def _wrong_convention(stated: Totals, convention: Convention, right: Right) -> Finding | None:
    if convention is Convention.TWO_HUNDRED and right is not Right.PERFORMANCE:
        return Finding(
            Level.ERROR,
            "convention-of-performance",
            say("convention"),
            say("Only shares of performance are stated out of 200, and these are {right} shares.", right=right.label),
            say("State them out of 100."),
        )
    if convention is Convention.HUNDRED and within(stated.writers, WHOLE) and within(stated.publishers, WHOLE):
        return Finding(
            Level.ERROR,
            "looks-like-200",
            say("convention"),
            say("Writers and publishers come to 100 each, and shares are stated out of 100 together."),
            say("Halve every share, or state them out of 200."),
        )
    halved = stated.publishers > 0 and within(stated.together, WHOLE) and stated.publishers <= HALF + TOLERANCE
    if convention is Convention.TWO_HUNDRED and halved:
        return Finding(
            Level.ERROR,
            "looks-like-100",
            say("convention"),
            say(
                "Writers come to {writers} and publishers to {publishers}: together 100, and shares are stated out of "
                "100 for each.",
                writers=share_words(stated.writers),
                publishers=share_words(stated.publishers),
            ),
            say("Double the shares, or state them out of 100."),
        )
    return None


def _against(stated: Fraction, aim: Fraction, place: str, subject: Sentence) -> list[Finding]:
    """Edit 11: a total is 100, give or take 0.06. What is missing is said, never hidden."""
    figure, target = share_words(stated), share_words(aim)
    if stated == aim:
        return []
    if within(stated, aim):
        text = say(
            "{subject} come to {figure}, which rounding explains (CISAC CWR19-1070 allows 0.06).",
            subject=subject,
            figure=figure,
        )
        mend = say("They print as {target} in all.", target=target)
        return [Finding(Level.NOTE, "total-rounded", place, text, mend)]
    if stated > aim:
        text = say("{subject} come to {stated}, more than {aim}.", subject=subject, stated=figure, aim=target)
        mend = say("Take {share} off.", share=share_words(stated - aim))
        return [Finding(Level.ERROR, "total-over", place, text, mend)]
    missing = share_words(aim - stated)
    text = say("{subject} come to {stated}: {missing} is unknown.", subject=subject, stated=figure, missing=missing)
    mend = say("Name who holds the rest, or list an unknown party with {missing}.", missing=missing)
    return [Finding(Level.ERROR, "total-short", place, text, mend)]


def _halves(stated: Totals) -> Iterator[Finding]:
    """Edits 4 and 9: of performance, publishers hold half at most and writers half at least."""
    if stated.publishers > HALF + TOLERANCE:
        text = say("Publishers hold {share} of performance, more than half.", share=share_words(stated.publishers))
        yield Finding(Level.ERROR, "publishers-over-half", say("publishers"), text, say("Bring them to 50 or less."))
    if stated.writers < HALF - TOLERANCE and within(stated.together, WHOLE):
        text = say("Writers hold {share} of performance, less than half.", share=share_words(stated.writers))
        yield Finding(Level.ERROR, "writers-under-half", say("writers"), text, say("Bring them to 50 or more."))


def _no_shares() -> Finding:
    """Edit 11 lets a right total 0; on a sheet nobody would then be paid."""
    text = say("No shares are stated: all of it is unknown.")
    return Finding(Level.WARNING, "no-shares", say("shares"), text, say("State who holds what."))


def _no_publisher() -> Finding:
    return Finding(
        Level.WARNING,
        "no-publisher",
        say("publishers"),
        say("No publisher is named, so the publishers' 100 is unknown."),
        say("Name the publishers, or the writer as publisher if the work is unpublished."),
    )


def _public_domain(parties: Sequence[ShareEntry]) -> Iterator[Finding]:
    for number, party in enumerate(parties, 1):
        if party.public_domain and party.share:
            text = say(
                "{party} is in the public domain and has {share}.",
                party=_called(party, number),
                share=share_words(party.share),
            )
            mend = say("Set the share to 0; an arranger's share is the arranger's.")
            yield Finding(Level.ERROR, "public-domain-share", _called(party, number), text, mend)
    if not any(party.public_domain for party in parties):
        return
    for number, party in enumerate(parties, 1):
        if party.role is WriterRole.AR and party.share:
            text = say(
                "{party} has {share} for arranging a work in the public domain.",
                party=_called(party, number),
                share=share_words(party.share),
            )
            mend = say("How much an arranger may have differs by society: ask the arranger's.")
            yield Finding(Level.NOTE, "arrangement-share", _called(party, number), text, mend)


def _writer_roles(parties: Sequence[ShareEntry]) -> Iterator[Finding]:
    """Edits 12, 15, 46 and 47."""
    roles = {party.role for party in parties if party.is_writer}
    if not roles:
        yield Finding(
            Level.ERROR, "no-writer", say("writers"), say("There is no writer."), say("Name who wrote the music.")
        )
    arranger_alone = WriterRole.AR in roles and not roles & _COMPOSERS
    sub_author_alone = WriterRole.SA in roles and not roles & _AUTHORS
    for number, party in enumerate(parties, 1):
        if party.role is WriterRole.AR and arranger_alone:
            text = say("{party} arranged music of a composer who is not named.", party=_called(party, number))
            mend = say("Name the composer, with share 0 when in the public domain.")
            yield Finding(Level.WARNING, "arranger-alone", _called(party, number), text, mend)
        if party.role is WriterRole.SA and sub_author_alone:
            text = say("{party} replaced the words of an author who is not named.", party=_called(party, number))
            yield Finding(Level.WARNING, "sub-author-alone", _called(party, number), text, say("Name the author."))
    if roles and not roles & (_COMPOSERS | _AUTHORS) and not arranger_alone and not sub_author_alone:
        text = say("No writer is a composer or author (C, A, CA).")
        yield Finding(Level.WARNING, "no-creator", say("writers"), text, say("Name who wrote the music or the words."))


def _publisher_roles(parties: Sequence[ShareEntry]) -> Iterator[Finding]:
    """Edit 17: an administrator or sub-publisher stands in the chain of an original publisher."""
    if any(party.role in _OWNERS and not party.is_writer for party in parties):
        return
    for number, party in enumerate(parties, 1):
        if not party.is_writer and party.role in _FOR_OTHERS:
            text = say(
                "{party} is {role} for a publisher who is not named.",
                party=_called(party, number),
                role=party.role.label,
            )
            yield Finding(
                Level.WARNING,
                "original-publisher-missing",
                _called(party, number),
                text,
                say("Name the original publisher."),
            )


def _names(parties: Sequence[ShareEntry]) -> Iterator[Finding]:
    """Parties without a name, and the same party twice in one role."""
    times = Counter((party.name, party.role, party.is_writer) for party in parties if party.name)
    for number, party in enumerate(parties, 1):
        if not party.name:
            text = say(
                "Party {number} ({role}) is unknown, with {share}.",
                number=number,
                role=str(party.role),
                share=share_words(party.share),
            )
            yield Finding(
                Level.WARNING,
                "party-unknown",
                say("party {number}", number=number),
                text,
                say("Name the party when it is known."),
            )
        elif times.pop((party.name, party.role, party.is_writer), 1) > 1:
            text = say("{party} is listed more than once as {role}.", party=party.name, role=party.role.label)
            yield Finding(Level.WARNING, "party-twice", party.name, text, say("Add the shares up in one line."))


def _called(party: ShareEntry, number: int) -> str:
    """The party's name, or its number in the list."""
    return party.name or say("party {number}", number=number)
