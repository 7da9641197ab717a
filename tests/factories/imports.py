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
