"""What people do to an import before it is accepted: read, read otherwise, decide, drop; each refusal by name."""

from datetime import UTC, datetime
from pathlib import Path

import pytest
from django.conf import settings

from supervision.actions import imports
from supervision.actions.productions import add_cut
from supervision.interchange.cut_file import LARGEST
from supervision.models import AuditEntry, CutImport, Usage
from supervision.queries.imports import open_import
from supervision.rules.durations import Span
from supervision.rules.errors import BadValue, Conflict, FileTooLarge, NotAllowed, NotVisible, StaleEdit, UnreadableFile
from supervision.rules.import_setup import FieldTime, Setup, Target
from supervision.rules.matching import Standing
from supervision.rules.proposal import Decided
from supervision.rules.roles import Role
from supervision.rules.timeline import Run
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.catalogue import RecordingFactory
from tests.factories.imports import edit_list
from tests.factories.productions import CutFactory, EpisodeFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 11, 25, 10, 0, tzinfo=UTC)
START = 25 * 3600 * 10
REEL = edit_list(
    ("HARBOUR LIGHTS v3 MSTR.wav", "AA", "10:00:10:00", "10:00:40:00"),
    ("SLOW_TIDE_mix2.wav", "AA", "10:02:00:00", "10:02:30:12"),
)


@pytest.fixture
def episode():
    return EpisodeFactory(cut__start_frame=START, cut__running_frames=25 * 60 * 45)


@pytest.fixture
def user(episode):
    return MembershipFactory(production=episode.season.production).user


def begin(episode, user, data=REEL, name="reel 1.edl", **rest):
    return imports.begin_import(episode=episode, name=name, data=data, by=user, now=NOW, **rest)


def files():
    return sorted(path for path in (Path(settings.MEDIA_ROOT) / "imports").rglob("*") if path.is_file())


def test_a_file_becomes_a_draft_with_matched_proposals(episode, user):
    recording = RecordingFactory(title="Harbour Lights")
    draft = begin(episode, user)
    opened = open_import(draft)
    assert [(each.title, each.clip, each.lines) for each in opened.proposals] == [
        ("Harbour Lights", "HARBOUR LIGHTS v3 MSTR.wav", (2,)),
        ("Slow Tide", "SLOW_TIDE_mix2.wav", (4,)),
    ]
    first, second = opened.proposals
    assert (first.match.standing, first.decision, first.song) == (Standing.MATCHED, "song", f"R{recording.pk}")
    assert (second.match.standing, second.decision, second.open) == (Standing.UNKNOWN, "title", True)
    assert opened.spans == {
        1: Span(START + 250, START + 1000),
        2: Span(START + 3000, START + 3000 + 762),
    }
    assert Usage.objects.count() == 0
    entry = AuditEntry.objects.get()
    assert (entry.verb, entry.label, "proposals" in entry.after, "payload" in entry.after) == (
        "created",
        "reel 1.edl",
        False,
        False,
    )
    assert len(files()) >= 1
