from datetime import UTC, datetime

import pytest

from supervision.actions.search_keys import refresh_all
from supervision.models import Party, Recording, Work
from supervision.queries.parties import PartyFilter, parties
from supervision.queries.picks import labels_of, picked_parties, picked_works, suggested_parties, suggested_works
from supervision.queries.recordings import RecordingFilter, listed_recordings, recordings
from supervision.queries.search import found
from supervision.queries.works import WorkFilter, listed_works, works
from tests.factories.catalogue import (
    PartyFactory,
    RecordingFactory,
    RecordingShareFactory,
    SocietyFactory,
    WorkFactory,
    WorkShareFactory,
)

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 11, 25, 9, 30, tzinfo=UTC)


@pytest.fixture
def river():
    """A work with diacritics, its writer and its recording."""
    work = WorkFactory(title="Řeka (Die Flüsse)", iswc="T0345246801")
    work.alternative_titles.create(title="川")
    WorkShareFactory(work=work, party=PartyFactory(name="Zoë O’Hara-Źródło", ipi="00014107338"), writer=True)
    recording = RecordingFactory(title="River Song", artist="Ærø Øre", isrc="USS1Z9900001", works=[work])
    WorkFactory(title="Something Else")
    RecordingFactory(title="Something Else", artist="Nobody")
    refresh_all()
    return recording


@pytest.mark.parametrize(
    "text",
    [
        "reka",
        "ŘEKA",
        "die flusse",
        "flüs",
        "川",
        "ohara",
        "O'Hara",
        "zrodlo",
        "T-034.524.680-1",
        "t0345246801",
        "reka zoe",
    ],
)
def test_work_is_found_by_part_of_title_writer_or_iswc(river, text):
    assert [work.title for work in found(Work.objects.all(), text)] == ["Řeka (Die Flüsse)"]


@pytest.mark.parametrize("text", ["river", "aero ore", "US-S1Z-99-00001", "uss1z99", "川", "Zoë river", "die fl"])
def test_recording_is_found_by_its_own_words_and_those_of_its_works(river, text):
    assert list(found(Recording.objects.all(), text)) == [river]


@pytest.mark.parametrize("text", ["14107338", "00014 107 338", "ohara-zrodlo"])
def test_party_is_found_by_name_or_ipi(river, text):
    assert [party.name for party in found(Party.objects.all(), text)] == ["Zoë O’Hara-Źródło"]


@pytest.mark.parametrize("text", ["reka nobody", "%", "_", "T0345246802", "\\"])
def test_what_matches_nothing_finds_nothing(river, text):
    assert list(found(Work.objects.all(), text)) == []


def test_hostile_length_is_cut_rather_than_refused(river):
    assert list(found(Work.objects.all(), "x " * 100_000)) == []


def test_rows_that_begin_with_the_text_come_first():
    for title in ("A River", "River", "Down by the River", "Rivers"):
        WorkFactory(title=title)
    refresh_all()
    assert [work.title for work in found(Work.objects.all(), "river")] == [
        "River",
        "Rivers",
        "A River",
        "Down by the River",
    ]


def test_deleted_rows_are_not_found(river):
    Work.objects.update(deleted_at=NOW)
    Recording.objects.update(deleted_at=NOW)
    Party.objects.update(deleted_at=NOW)
    assert (picked_works("Řeka (Die Flüsse)"), picked_parties("00014107338")) == ([], [])
    assert list(WorkFilter({"search": "reka"}, works()).qs) == []
    assert [work.title for work in WorkFilter({"search": "reka", "deleted": "true"}, works()).qs] == [
        "Řeka (Die Flüsse)"
    ]


@pytest.mark.parametrize("text", ["Zoë O’Hara-Źródło", "zoe ohara-zrodlo", "00014107338", "14107338", "14 107 338"])
def test_party_is_picked_by_whole_name_or_ipi(river, text):
    assert [party.name for party in picked_parties(text)] == ["Zoë O’Hara-Źródło"]


@pytest.mark.parametrize("text", ["Reka die flusse", "T-034.524.680-1", "T0345246801"])
def test_work_is_picked_by_whole_title_or_iswc(river, text):
    assert [work.title for work in picked_works(text)] == ["Řeka (Die Flüsse)"]


@pytest.mark.parametrize("text", ["", "  ", "Reka", "#999999", "...", "T0345246802"])
def test_part_of_a_title_picks_nothing(river, text):
    assert picked_works(text) == []


def test_namesakes_are_told_apart_by_number():
    one, two, other = PartyFactory(name="Jo Lock"), PartyFactory(name="JO LOCK"), PartyFactory(name="Jo Lockwood")
    refresh_all()
    assert picked_parties("jo lock") == [two, one]
    assert labels_of([one, two, other]) == {
        one.pk: f"Jo Lock #{one.pk}",
        two.pk: f"JO LOCK #{two.pk}",
        other.pk: "Jo Lockwood",
    }
    assert picked_parties(f"Jo Lock #{one.pk}") == [one]


def test_suggestions_are_texts_that_mean_one_row(river):
    assert [(label, party.name) for label, party in suggested_parties("zoe")] == [
        ("Zoë O’Hara-Źródło", "Zoë O’Hara-Źródło")
    ]
    assert [label for label, _ in suggested_works("flus")] == ["Řeka (Die Flüsse)"]
    assert suggested_works(" ") == []


def test_parties_are_filtered_by_kind_society_and_whose_they_are():
    prs = SocietyFactory()
    PartyFactory(name="Ada", kind="person", society=prs)
    PartyFactory(name="Tide", is_ours=True, ipi="00014107338")

    def names(**query):
        return [party.name for party in PartyFilter(query, parties()).qs]

    assert names() == ["Ada", "Tide"]
    assert names(kind="person") == ["Ada"]
    assert names(society=str(prs.pk)) == ["Ada"]
    assert names(is_ours="true") == ["Tide"]
    assert names(ipi="14107338") == ["Tide"]


def test_works_are_filtered_by_party_iswc_and_public_domain():
    tide = PartyFactory(name="Tide")
    administered = WorkFactory(title="Administered")
    WorkShareFactory(work=administered, administrator=tide)
    WorkShareFactory(work=WorkFactory(title="Published", iswc="T0345246801"), party=tide)
    WorkFactory(title="Trad.", public_domain=True)

    def titles(**query):
        return [work.title for work in WorkFilter(query, works()).qs]

    assert titles(party=str(tide.pk)) == ["Administered", "Published"]
    assert titles(iswc="T-034.524.680-1") == ["Published"]
    assert titles(iswc="T0") == []
    assert titles(public_domain="true") == ["Trad."]


def test_recordings_are_filtered_by_work_party_isrc_and_library():
    work, tide = WorkFactory(), PartyFactory(name="Tide")
    RecordingFactory(title="Of the work", works=[work], isrc="USS1Z9900001")
    RecordingShareFactory(recording=RecordingFactory(title="Owned"), party=tide)
    RecordingFactory(title="Bed", library=True)

    def titles(**query):
        return [recording.title for recording in RecordingFilter(query, recordings()).qs]

    assert titles(work=str(work.pk)) == ["Of the work"]
    assert titles(party=str(tide.pk)) == ["Owned"]
    assert titles(isrc="US-S1Z-99-00001") == ["Of the work"]
    assert titles(library="true") == ["Bed"]


@pytest.mark.parametrize("count", [10, 200])
def test_queries_of_lists_do_not_grow_with_rows(count, django_assert_num_queries):
    ada = PartyFactory(name="Ada Weir")
    for _ in range(count):
        work = WorkFactory(title="River")
        WorkShareFactory(work=work, party=ada, writer=True)
        RecordingShareFactory(recording=RecordingFactory(title="River", works=[work]))
    refresh_all()
    with django_assert_num_queries(5):
        listed = [(str(share.party), len(work.live_recordings)) for work in listed_works() for share in work.writers]
        assert listed == [("Ada Weir", 1)] * count
    with django_assert_num_queries(3):
        for recording in listed_recordings():
            assert [fixed.work.title for fixed in recording.recorded_works.all()] == ["River"]
    with django_assert_num_queries(4):
        assert len(suggested_works("river")) == 10
