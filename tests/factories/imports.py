"""Imports of cut files as rows; what they read is given where a test speaks of it."""

from datetime import UTC, datetime

import factory
from factory.django import DjangoModelFactory

from supervision.models import CutImport
from tests.factories.accounts import UserFactory
from tests.factories.productions import EpisodeFactory


class CutImportFactory(DjangoModelFactory):
    """A draft that has read nothing yet."""

    class Meta:
        model = CutImport

    episode = factory.SubFactory(EpisodeFactory)
    kind = "cut"
    file = "imports/2026/11/none.edl"
    file_name = "reel.edl"
    file_size = 1
    file_sha256 = factory.Sequence(lambda n: f"{n:064x}")
    payload = factory.LazyFunction(dict)
    setup = factory.LazyFunction(dict)
    made_at = datetime(2026, 11, 25, 12, tzinfo=UTC)
    made_by = factory.SubFactory(UserFactory)


def edit_list(*events, title="REEL"):
    """An edit list in CMX 3600: each event is (clip name, channels, record in, record out), its source the same length."""
    lines = [f"TITLE: {title}"]
    for number, (name, channels, start, end) in enumerate(events, start=1):
        lines += [
            f"{number:03}  AX       {channels:<5} C        {start} {end} {start} {end}",
            f"* FROM CLIP NAME: {name}",
        ]
    return "\n".join([*lines, ""]).encode()
