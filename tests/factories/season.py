"""A season with many cleared usages, for tests that count queries and add up money."""

from decimal import Decimal

from supervision.models import Clearance, Licence, Placement, Quote, Usage
from supervision.rules.clearance import Side, Stage
from supervision.rules.fees import Basis
from tests.factories.accounts import UserFactory
from tests.factories.catalogue import PartyFactory, RecordingFactory, WorkFactory
from tests.factories.productions import EpisodeFactory, SeasonFactory


def season_of(usages: int, *, episodes: int = 2) -> "SeasonFactory":
    """A season in which every usage has its own song, a draft, a quoted, an approved and a licensed clearance.

    Each usage is estimated at USD 1,000 sync and 2,000 master; quotes are 100, 200 and 300, the licence costs 300.
    """
    season = SeasonFactory()
    made = [EpisodeFactory(season=season) for _ in range(episodes)]
    by, holders = UserFactory(), [PartyFactory() for _ in range(4)]
    for index in range(usages):
        episode = made[index % episodes]
        work = WorkFactory()
        usage = Usage.objects.create(
            episode=episode,
            cue_number=f"1M{index}",
            recording=RecordingFactory(works=[work]),
            sync_estimate_minor=100_000,
            master_estimate_minor=200_000,
            estimate_currency="USD",
        )
        start = episode.current_cut.start_frame + 100 * index
        Placement.objects.create(usage=usage, cut=episode.current_cut, in_frame=start, out_frame=start + 50)
        for number, (holder, stage) in enumerate(
            zip(holders, (Stage.DRAFT, Stage.QUOTED, Stage.APPROVED, Stage.LICENSED), strict=True)
        ):
            master = stage is Stage.LICENSED
            clearance = Clearance.objects.create(
                usage=usage,
                side=Side.MASTER if master else Side.SYNC,
                work=None if master else work,
                recording=usage.recording if master else None,
                holder=holder,
                share=Decimal(25),
            )
            if number:
                quote = Quote.objects.create(
                    clearance=clearance,
                    amount_minor=10_000 * number,
                    currency="USD",
                    basis=Basis.SHARE,
                    payable_minor=10_000 * number,
                    received_on="2026-11-01",
                    recorded_by=by,
                )
                Clearance.objects.filter(pk=clearance.pk).update(stage=stage, standing_quote=quote)
            if master:
                Licence.objects.create(
                    clearance=clearance,
                    number=f"L-{index}",
                    executed_on="2026-11-02",
                    fee_minor=30_000,
                    currency="USD",
                    recorded_by=by,
                )
    return season
