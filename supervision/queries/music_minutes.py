"""Music minutes of a season: how much of each episode is licensed and how much scored, as its current cut stands."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from django.db.models import BigIntegerField, Case, F, Sum, Value, When
from django.db.models.functions import Cast, Greatest

from supervision.models import Placement, Season
from supervision.models.productions import RATES
from supervision.rules.usage import LICENSED_ORIGINS, SCORED_ORIGINS, Origin


@dataclass(frozen=True, slots=True)
class EpisodeMusic:
    """The music of one episode in whole seconds, each usage rounded as it is shown: at least 1, half up."""

    episode: int
    code: str
    number: str
    licensed_seconds: int = 0
    scored_seconds: int = 0

    @property
    def seconds(self) -> int:
        """All its music."""
        return self.licensed_seconds + self.scored_seconds


def shown_seconds() -> Greatest:
    """A placement's shown seconds in integer arithmetic of the database, equal to ``rules.durations.whole_seconds``.

    Half up is ``(2 × frames × denominator + numerator) ÷ (2 × numerator)``, rounded down; 64 bits, as PostgreSQL's
    plain integers overflow at ten hours.
    """
    frames = Cast(F("out_frame") - F("in_frame"), BigIntegerField())
    rates = {rate: Fraction(rate) for rate in RATES}
    rounded = (
        When(cut__rate=text, then=(frames * (2 * rate.denominator) + rate.numerator) / (2 * rate.numerator))
        for text, rate in rates.items()
    )
    return Greatest(Value(1, BigIntegerField()), Case(*rounded, output_field=BigIntegerField()))


def music_minutes(season: Season) -> list[EpisodeMusic]:
    """Each episode's music in order, episodes without any included. Two queries, whatever the season's size."""
    placed = Placement.objects.filter(
        cut=F("usage__episode__current_cut"), usage__episode__season=season, usage__deleted_at__isnull=True
    )
    sums = placed.order_by().values_list("usage__episode", "usage__origin").annotate(seconds=Sum(shown_seconds()))
    seconds = {(episode, Origin(origin)): total for episode, origin, total in sums}
    return [
        EpisodeMusic(
            episode=pk,
            code=code,
            number=number,
            licensed_seconds=sum(seconds.get((pk, origin), 0) for origin in LICENSED_ORIGINS),
            scored_seconds=sum(seconds.get((pk, origin), 0) for origin in SCORED_ORIGINS),
        )
        for pk, code, number in season.episodes.order_by("position", "pk").values_list("pk", "code", "number")
    ]
