"""Parties, works and recordings without shares; shares are added by name where a test speaks of them."""

import factory
from factory.django import DjangoModelFactory

from supervision.models import Contact, Party, Recording, RecordingShare, RecordingWork, Society, Work, WorkShare


class SocietyFactory(DjangoModelFactory):
    class Meta:
        model = Society
        django_get_or_create = ("code",)

    code = "052"
    name = "PRS"
    country = "GB"


class PartyFactory(DjangoModelFactory):
    class Meta:
        model = Party

    name = factory.Sequence(lambda n: f"Party {n}")


class ContactFactory(DjangoModelFactory):
    class Meta:
        model = Contact

    party = factory.SubFactory(PartyFactory)
    name = "Licensing desk"
    email = "licensing@example.org"


class WorkFactory(DjangoModelFactory):
    class Meta:
        model = Work

    title = factory.Sequence(lambda n: f"Song {n}")


class WorkShareFactory(DjangoModelFactory):
    """A publisher with the whole publisher side; ``writer=True`` makes it a writer with the whole writer side."""

    class Meta:
        model = WorkShare

    class Params:
        writer = factory.Trait(interest="writer", role="CA", control=0)

    work = factory.SubFactory(WorkFactory)
    party = factory.SubFactory(PartyFactory)
    interest = "publisher"
    role = "E"
    performance = 100
    control = 100


class RecordingFactory(DjangoModelFactory):
    """A recording; ``works=[…]`` says which works it fixes, in order."""

    class Meta:
        model = Recording
        skip_postgeneration_save = True

    title = factory.Sequence(lambda n: f"Recording {n}")
    artist = "The Lockkeepers"

    @factory.post_generation
    def works(recording, create, extracted, **_):  # noqa: N805 - factory_boy hands the object in first
        for position, work in enumerate(extracted or ()):
            RecordingWork.objects.create(recording=recording, work=work, position=position)


class RecordingShareFactory(DjangoModelFactory):
    class Meta:
        model = RecordingShare

    recording = factory.SubFactory(RecordingFactory)
    party = factory.SubFactory(PartyFactory)
    share = 100
