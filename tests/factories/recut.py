"""An episode that was cut again: each of its usages with where it stands in the second cut."""

from supervision.models import Cut, Placement
from tests.factories.productions import CutFactory

START = 25 * 3600 * 10


def seconds(start, end):
    """A place in a programme at 25 frames a second from 10:00:00:00."""
    return START + 25 * start, START + 25 * end


def recut(episode, places, *, shorter=0, **fields):
    """A second cut, the current one, so many seconds shorter; ``places`` says where each usage stands, ``None`` nowhere."""
    before = episode.current_cut
    told = {"number": before.number + 1, "running_frames": before.running_frames - 25 * shorter} | fields
    cut: Cut = CutFactory(episode=episode, **told)
    for usage, place in places.items():
        if place:
            Placement.objects.create(usage=usage, cut=cut, in_frame=place[0], out_frame=place[1])
    episode.current_cut = cut
    episode.save()
    return before, cut
