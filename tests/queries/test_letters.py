"""Whom to write to, and what the letter knows, out of the rows."""

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from supervision.models import Letter
from supervision.queries.letters import LetterFilter, content_of, letter_for, letters_for, open_letters
from supervision.rules.clearance import Side, Stage
from supervision.rules.errors import Conflict, NotVisible
from supervision.rules.frozen import digest, to_plain
from supervision.rules.letter import (
    Addressee,
    Letterhead,
    LetterSong,
    Portion,
    Programme,
    SongUse,
    usual_rights,
)
from supervision.rules.letter_writing import write_letter
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.catalogue import ContactFactory, PartyFactory, RecordingFactory, WorkFactory, WorkShareFactory
from tests.factories.clearance import ClearanceFactory
from tests.factories.productions import EpisodeFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db

TODAY = date(2026, 11, 25)
NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)
START = 25 * 3600 * 10


@pytest.fixture
def episode():
    return EpisodeFactory(
        code="WEIR-101",
        number="101",
        air_date=date(2027, 1, 9),
        synopsis="The lock is closed.",
        season__production__company_address="12 Lock Lane",
        season__production__contact_name="Ida Person",
        season__production__contact_email="music@weir.example",
        season__production__contact_phone="1",
        season__production__network="Nine",
    )


def use(episode, number="1M1", start=START, seconds=45, **more):
    return UsageFactory(episode=episode, cue_number=number, placed=(start, start + seconds * 25), **more)


def test_letter_knows_house_programme_and_holder(episode):
    holder = PartyFactory(name="Reed Harbour Music")
    ContactFactory(party=holder, name="Tove", department="Licensing", address="4 Quay", email="t@reed.example")
    ContactFactory(party=holder, name="Second")
    ClearanceFactory(usage=use(episode), holder=holder)
    (letter,) = open_letters(episode, answer_by=date(2026, 12, 9))
    assert (letter.holder, letter.side, letter.key) == (holder, Side.SYNC, f"{holder.pk}-sync")
    assert letter.facts.letterhead == Letterhead(
        company="Weir Pictures",
        address="12 Lock Lane",
        contact_name="Ida Person",
        email="music@weir.example",
        phone="1",
    )
    assert letter.facts.addressee == Addressee(
        name="Reed Harbour Music", contact="Tove", department="Licensing", address="4 Quay", email="t@reed.example"
    )
    assert letter.facts.programme == Programme(
        production="The Weir",
        kind="Series",
        company="Weir Pictures",
        episode="Season 1, Episode 101 “Low Water”",
        network="Nine",
        first_broadcast=date(2027, 1, 9),
        synopsis="The lock is closed.",
    )
    assert letter.facts.rights == usual_rights("series")
    assert letter.facts.answer_by == date(2026, 12, 9)


def test_holder_without_contact_is_written_to_by_name(episode):
    ClearanceFactory(usage=use(episode), holder=PartyFactory(name="Weirside"))
    assert open_letters(episode)[0].facts.addressee == Addressee(name="Weirside")


def test_uses_of_one_song_stand_together_in_the_order_of_the_picture(episode):
    work = WorkFactory(title="Evening Tide", iswc="T0345246801")
    ida, bo = PartyFactory(name="Ida"), PartyFactory(name="Bo")
    for writer, role in ((ida, "C"), (bo, "CA"), (ida, "A")):
        WorkShareFactory(work=work, writer=True, party=writer, role=role)
    holder, other = PartyFactory(), PartyFactory(name="Upper Lock Songs")
    later = use(episode, "2M1", START + 9000, 12, vocal="vocal", scene="A radio.")
    first = use(episode, "1M1", START, 45, scene="The weir at dusk.")
    unplaced = UsageFactory(episode=episode, cue_number="3M1")
    for usage in (later, first, unplaced):
        ClearanceFactory(usage=usage, work=work, holder=holder, share=50)
        ClearanceFactory(usage=usage, work=work, holder=other, share="33.34", stage=Stage.QUOTED - 10)
        ClearanceFactory(usage=usage, work=work, holder=None, share="16.66")
    (letter,) = open_letters(episode)
    assert letter.uses == 3
    assert letter.facts.songs == (
        LetterSong(
            title="Evening Tide",
            writers=("Ida", "Bo"),
            iswc="T0345246801",
            portions=(Portion(name="", share=Decimal(50)),),
            others=(
                Portion(name="Upper Lock Songs", share=Decimal("33.34")),
                Portion(name="", share=Decimal("16.66")),
            ),
            uses=(
                SongUse(cue_number="1M1", scene="The weir at dusk.", how="background, instrumental", up_to_seconds=45),
                SongUse(cue_number="2M1", scene="A radio.", how="background, with vocals", up_to_seconds=12),
                SongUse(cue_number="3M1", scene="", how="background, instrumental"),
            ),
        ),
    )


def test_administrator_is_told_for_whom_it_is_asked(episode):
    usage, work, admin = use(episode), WorkFactory(), PartyFactory()
    for name, share, territory in (("Silt", 30, "World"), ("Fen", 20, "DE")):
        ClearanceFactory(
            usage=usage,
            work=work,
            holder=admin,
            on_behalf_of=PartyFactory(name=name),
            share=share,
            territory=territory,
        )
    (letter,) = open_letters(episode)
    assert letter.facts.songs[0].portions == (
        Portion(name="Silt", share=Decimal(30)),
        Portion(name="Fen", share=Decimal(20), territory="DE"),
    )
    assert letter.uses == 1


def test_master_letter_identifies_the_recording(episode):
    recording = RecordingFactory(
        title="Evening Tide", version_title="Live", label="Weirside", isrc="GBXYZ2600001", year=1998
    )
    ClearanceFactory(usage=use(episode), side=Side.MASTER, work=None, recording=recording)
    (letter,) = open_letters(episode)
    (song,) = letter.facts.songs
    assert letter.side is Side.MASTER
    assert (song.title, song.version, song.artist) == ("Evening Tide", "Live", "The Lockkeepers")
    assert (song.label, song.isrc, song.year, song.writers) == ("Weirside", "GBXYZ2600001", 1998, ())


def test_one_letter_a_holder_and_side_by_name_sync_first(episode):
    usage, recording = use(episode), RecordingFactory()
    zeta, alpha = PartyFactory(name="Zeta"), PartyFactory(name="alpha")
    ClearanceFactory(usage=usage, holder=zeta)
    ClearanceFactory(usage=usage, holder=alpha, side=Side.MASTER, work=None, recording=recording)
    ClearanceFactory(usage=usage, holder=alpha)
    assert [(letter.holder.name, letter.side) for letter in open_letters(episode)] == [
        ("alpha", Side.SYNC),
        ("alpha", Side.MASTER),
        ("Zeta", Side.SYNC),
    ]


def test_only_live_drafts_with_a_known_holder_are_open(episode):
    usage = use(episode)
    ClearanceFactory(usage=usage, stage=Stage.REQUESTED)
    ClearanceFactory(usage=usage, stage=Stage.NOT_NEEDED)
    ClearanceFactory(usage=usage, holder=None)
    ClearanceFactory(usage=usage, retired_at=NOW)
    ClearanceFactory(usage=use(episode, "9M9", deleted_at=NOW))
    ClearanceFactory(usage=use(EpisodeFactory()))
    assert open_letters(episode) == []


@pytest.mark.parametrize("usages", [10, 200])
def test_queries_do_not_grow_with_usages(episode, usages, django_assert_num_queries):
    holders = [PartyFactory() for _ in range(5)]
    for number in range(usages):
        usage = use(episode, f"M{number}", START + 100 * number, 2)
        ClearanceFactory(usage=usage, holder=holders[number % 5], on_behalf_of=holders[0])
    with django_assert_num_queries(4):
        letters = open_letters(episode)
    assert sum(letter.uses for letter in letters) == usages


def send(episode, reference="WEIR-101/S-0001", **more):
    ClearanceFactory(usage=use(episode))
    letter = open_letters(episode)[0]
    payload = to_plain(write_letter(letter.facts, reference=reference, dated=TODAY))
    return Letter.objects.create(
        episode=episode,
        holder=letter.holder,
        side=letter.side,
        reference=reference,
        sent_at=NOW,
        sent_by=UserFactory(),
        payload=payload,
        digest=digest(payload),
        **more,
    )


def test_sent_letter_says_what_it_said(episode):
    sent = send(episode)
    user = MembershipFactory(production=episode.season.production, role="viewer").user
    assert content_of(letter_for(user, sent.pk)).reference == "WEIR-101/S-0001"
    sent.payload["rights"]["territory"] = "the Moon"
    with pytest.raises(Conflict, match="no longer has its digest"):
        content_of(sent)


def test_letter_of_another_production_is_not_visible(episode):
    sent = send(episode)
    stranger = MembershipFactory().user
    with pytest.raises(NotVisible):
        letter_for(stranger, sent.pk)
    assert list(letters_for(stranger)) == []


def test_letters_are_found_by_episode_side_and_holder(episode):
    sent = send(episode)
    user = MembershipFactory(production=episode.season.production).user

    def found(**query):
        return list(LetterFilter(query, letters_for(user)).qs)

    assert found(episode="weir-101") == found(side="sync") == found(holder=sent.holder_id) == [sent]
    assert found(production=episode.season.production.code.lower()) == [sent]
    assert found(side="master") == found(episode="OTHER") == []
