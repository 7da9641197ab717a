"""A series, its season, and an episode of 45 minutes at 25 frames a second from 10:00:00:00."""

import factory
from factory.django import DjangoModelFactory

from supervision.models import Cut, Episode, Production, Season


class ProductionFactory(DjangoModelFactory):
    class Meta:
        model = Production

    code = factory.Sequence(lambda n: f"PROD{n}")
    title = "The Weir"
    company = "Weir Pictures"
    currency = "USD"


class SeasonFactory(DjangoModelFactory):
    class Meta:
        model = Season

    production = factory.SubFactory(ProductionFactory)
    number = 1


class EpisodeFactory(DjangoModelFactory):
    """An episode with its current cut; ``cut__…`` sets the cut's fields, ``cut=None`` makes none."""

    class Meta:
        model = Episode
        skip_postgeneration_save = True

    season = factory.SubFactory(SeasonFactory)
    code = factory.Sequence(lambda n: f"EP-{n}")
    number = factory.Sequence(lambda n: str(101 + n))
    position = factory.Sequence(lambda n: n + 1)
    title = "Low Water"

    @factory.post_generation
    def cut(episode, create, extracted, **fields):  # noqa: N805 - factory_boy hands the object in first
        if create:
            episode.current_cut = extracted or CutFactory(episode=episode, **fields)
            episode.save()


class CutFactory(DjangoModelFactory):
    class Meta:
        model = Cut

    episode = factory.SubFactory(EpisodeFactory)
    number = factory.Sequence(lambda n: n + 1)
    rate = "25"
    start_frame = 25 * 3600 * 10
    running_frames = 25 * 60 * 45
