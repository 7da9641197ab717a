"""Where a work, recording or party is used, so that nobody takes away what something else stands on."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Q, QuerySet

from supervision.models import Clearance, Party, Recording, Usage, User, Work
from supervision.models.rows import LIVE
from supervision.rules.sentence import joined, say

_SHOWN = 5


@dataclass(frozen=True, slots=True)
class Places:
    """Places by name, and how many more are in productions that the person does not see."""

    named: tuple[str, ...]
    hidden: int = 0

    def __bool__(self) -> bool:
        """Whether there is any."""
        return bool(self.named) or self.hidden > 0

    @property
    def text(self) -> str:
        """The places in words, at most five by name."""
        told = list(self.named[:_SHOWN])
        if (more := len(self.named) - _SHOWN) > 0:
            told.append(say("{number} more", number=more))
        if self.hidden:
            told.append(say("{number} in productions that you do not see", number=self.hidden))
        return joined(told, between=", ")


def places_of_work(work: Work, user: User) -> Places:
    """Live usages (also through recordings), recordings and arrangements of a work. Four queries."""
    recordings = Recording.objects.filter(LIVE, works=work)
    arrangements = Work.objects.filter(LIVE, arrangement_of=work)
    usages = Usage.objects.filter(LIVE & (Q(work=work) | Q(recording__works=work))).distinct()
    return _with_usages(
        [
            *(say("the recording “{title}”", title=row.title) for row in recordings),
            *(say("the arrangement “{title}”", title=row.title) for row in arrangements),
        ],
        usages,
        user,
    )


def places_of_recording(recording: Recording, user: User) -> Places:
    """Live usages of a recording. Two queries."""
    return _with_usages([], Usage.objects.filter(LIVE, recording=recording), user)


def places_of_party(party: Party, user: User) -> Places:
    """Live works and recordings in which a party has or administers a share, and live clearances. Four queries."""
    works = Work.objects.filter(LIVE & (Q(shares__party=party) | Q(shares__administrator=party))).distinct()
    recordings = Recording.objects.filter(LIVE & (Q(shares__party=party) | Q(shares__administrator=party))).distinct()
    asked = Clearance.objects.filter(Q(holder=party) | Q(on_behalf_of=party), retired_at__isnull=True)
    usages = Usage.objects.filter(LIVE, pk__in=asked.values("usage"))
    return _with_usages(
        [
            *(say("the work “{title}”", title=row.title) for row in works),
            *(say("the recording “{title}”", title=row.title) for row in recordings),
        ],
        usages,
        user,
    )


def _with_usages(named: list[str], usages: QuerySet[Usage], user: User) -> Places:
    visible = usages.filter(episode__season__production__memberships__user=user).select_related("episode")
    told = [f"{usage.episode.code} {usage.cue_number}".strip() for usage in visible]
    return Places((*named, *told), hidden=usages.count() - len(told))
