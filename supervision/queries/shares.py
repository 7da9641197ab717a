"""The shares of a work or a recording as values of the rules, with their sums and findings."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from supervision.models import Recording, RecordingShare, Work, WorkShare
from supervision.models.catalogue import WRITER
from supervision.rules.findings import Finding, worst_first
from supervision.rules.party_roles import WriterRole, read_role
from supervision.rules.split import ShareEntry
from supervision.rules.territorial_shares import (
    Ownership,
    Sum,
    WorkInterest,
    check_recording,
    check_work,
    sums_of_recording,
    sums_of_work,
)
from supervision.rules.territory import Territory

_CREATORS = frozenset({WriterRole.C, WriterRole.A, WriterRole.CA})


@dataclass(frozen=True, slots=True)
class Split:
    """Who has what share of a work, what each side comes to in each part of the world, and what is wrong."""

    writers: tuple[WorkShare, ...]
    publishers: tuple[WorkShare, ...]
    sums: tuple[Sum, ...]
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class Owners:
    """Who owns what share of a recording, what that comes to in each part of the world, and what is wrong."""

    shares: tuple[RecordingShare, ...]
    sums: tuple[Sum, ...]
    findings: tuple[Finding, ...]


def split_of(work: Work) -> Split:
    """The split of a work. One query, and one for the work that it arranges unless that is loaded."""
    shares = list(work.shares.select_related("party__society", "administrator"))
    interests = [interest_of(share, work) for share in shares]
    return Split(
        writers=tuple(share for share in shares if share.interest == WRITER),
        publishers=tuple(share for share in shares if share.interest != WRITER),
        sums=tuple(sums_of_work(interests, public_domain=work.public_domain)),
        findings=tuple(worst_first(check_work(interests, public_domain=work.public_domain))),
    )


def owners_of(recording: Recording) -> Owners:
    """The owners of a recording. One query."""
    shares = list(recording.shares.select_related("party", "administrator"))
    owned = [Ownership(Fraction(share.share), Territory.parse(share.territory)) for share in shares]
    return Owners(
        shares=tuple(shares),
        sums=tuple(sums_of_recording(owned, public_domain=recording.public_domain)),
        findings=tuple(worst_first(check_recording(owned, public_domain=recording.public_domain))),
    )


def interest_of(share: WorkShare, work: Work) -> WorkInterest:
    """A share of the work as a value of the rules. No query where party and arranged work are loaded."""
    role = read_role(share.role, writer=share.interest == WRITER)
    entry = ShareEntry(share.party.name, role, Fraction(share.performance), public_domain=_is_free(share, work))
    return WorkInterest(entry, Fraction(share.control), Territory.parse(share.territory))


def _is_free(share: WorkShare, work: Work) -> bool:
    """Whether a writer's part is out of copyright: in a work that is, or in an arrangement of one, for its creators."""
    if share.interest != WRITER:
        return False
    arranged = work.arrangement_of
    of_a_free_work = arranged is not None and arranged.public_domain and share.role in _CREATORS
    return work.public_domain or (of_a_free_work and share.performance == 0)
