"""Usages and where they stand."""

import factory
from factory.django import DjangoModelFactory

from supervision.models import Placement, Usage
from tests.factories.productions import EpisodeFactory


class UsageFactory(DjangoModelFactory):
    """A background instrumental; ``placed=(in_frame, out_frame)`` puts it into the episode's current cut."""

    class Meta:
        model = Usage
        skip_postgeneration_save = True

    episode = factory.SubFactory(EpisodeFactory)
    cue_number = factory.Sequence(lambda n: f"1M{n}")

    @factory.post_generation
    def placed(usage, create, extracted, **_):  # noqa: N805 - factory_boy hands the object in first
        if extracted:
            start, end = extracted
            Placement.objects.create(usage=usage, cut=usage.episode.current_cut, in_frame=start, out_frame=end)
