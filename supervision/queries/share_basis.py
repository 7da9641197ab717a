"""Works whose shares look as if they were stated out of the wrong total, and how they would be put right."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection
from dataclasses import dataclass

from supervision.models import Work, WorkShare
from supervision.queries.shares import interest_of
from supervision.rules.share_basis import put_right, split_words
from supervision.rules.split import ShareEntry


@dataclass(frozen=True, slots=True)
class Offer:
    """A work with its shares as they are, and ``after``, one entry a share in the same order."""

    work: Work
    shares: tuple[WorkShare, ...]
    before: tuple[ShareEntry, ...]
    after: tuple[ShareEntry, ...]

    @property
    def before_words(self) -> str:
        """The shares as they are, as a line."""
        return split_words(self.before)

    @property
    def after_words(self) -> str:
        """The shares as they would be, as a line."""
        return split_words(self.after)


def offer_of(work: Work) -> Offer | None:
    """How the work's shares would be put right; ``None`` where they look right or hold in several territories.

    Two queries.
    """
    return next(iter(offers_of({work.pk})), None)


def offers_of(works: Collection[int]) -> list[Offer]:
    """The offers for these works, by title. Two queries; none for no works."""
    if not works:
        return []
    shares: defaultdict[int, list[WorkShare]] = defaultdict(list)
    rows = WorkShare.objects.filter(work__in=works).select_related("party", "administrator")
    for share in rows.order_by("position", "pk"):
        shares[share.work_id].append(share)
    found = Work.objects.filter(pk__in=works).select_related("arrangement_of").order_by("title", "pk")
    return [offer for work in found if (offer := _offer(work, shares[work.pk]))]


def _offer(work: Work, shares: list[WorkShare]) -> Offer | None:
    if len({share.territory for share in shares}) > 1:
        return None
    before = [interest_of(share, work).entry for share in shares]
    after = put_right(before)
    return Offer(work, tuple(shares), tuple(before), tuple(after)) if after else None
