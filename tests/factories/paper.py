"""An episode with one published song that is used twice and not asked for yet, for tests of pages, API and commands."""

from tests.factories.catalogue import (
    ContactFactory,
    PartyFactory,
    RecordingFactory,
    RecordingShareFactory,
    WorkFactory,
    WorkShareFactory,
)
from tests.factories.clearance import ClearanceFactory
from tests.factories.productions import EpisodeFactory
from tests.factories.spotting import UsageFactory

START = 25 * 3600 * 10


def episode_with_music(code="WEIR-101"):
    """Two cues of 30 seconds; the sync side of both is held by Reed Harbour Music, the master side by Weirside Records."""
    episode = EpisodeFactory(code=code, number=code[-3:])
    publisher, label = PartyFactory(name="Reed Harbour Music"), PartyFactory(name="Weirside Records")
    ContactFactory(party=publisher, name="Tove Alder")
    work = WorkFactory(title="Evening Tide")
    WorkShareFactory(work=work, writer=True, party=PartyFactory(name="Ida Reed"), position=0)
    WorkShareFactory(work=work, party=publisher, position=1)
    recording = RecordingFactory(title="Evening Tide", works=[work])
    RecordingShareFactory(recording=recording, party=label)
    for number in (1, 2):
        start = START + number * 60 * 25
        usage = UsageFactory(
            episode=episode, cue_number=f"{number}M1", recording=recording, placed=(start, start + 30 * 25)
        )
        ClearanceFactory(usage=usage, work=work, holder=publisher)
        ClearanceFactory(usage=usage, side="master", work=None, recording=recording, holder=label)
    return episode


def more_music(episode, usages):
    """So many more cues, each with its own song, writer and publisher, none asked for yet."""
    for number in range(usages):
        work = WorkFactory()
        share = WorkShareFactory(work=work)
        WorkShareFactory(work=work, writer=True)
        start = START + (number + 10) * 60 * 25
        usage = UsageFactory(
            episode=episode,
            cue_number=f"M{number}",
            recording=RecordingFactory(works=[work]),
            placed=(start, start + 50),
        )
        ClearanceFactory(usage=usage, work=work, holder=share.party)
