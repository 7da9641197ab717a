"""The facts of a cue sheet out of the rows."""

from datetime import UTC, date, datetime
from fractions import Fraction

import pytest

from supervision.models import CueSheetRevision
from supervision.queries.cue_sheets import cue_sheet_facts, revision_of, revisions_of, sheet_of
from supervision.rules.clearance import Reason, Side, Stage
from supervision.rules.cue_sheet import CueRecording, Interest, StatedParty, StatedWork
from supervision.rules.cue_sheet_setting import set_sheet
from supervision.rules.errors import Conflict, NotVisible
from supervision.rules.frozen import digest, to_plain
from supervision.rules.usage import Facets, Function, Origin, Vocal
from tests.factories.accounts import UserFactory
from tests.factories.catalogue import PartyFactory, RecordingFactory, SocietyFactory, WorkFactory, WorkShareFactory
from tests.factories.clearance import ClearanceFactory
from tests.factories.productions import EpisodeFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db

TODAY = date(2026, 11, 25)
NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)
START = 25 * 3600 * 10


def published(title="Evening Tide", **more):
    """A work of one writer and one publisher."""
    work = WorkFactory(title=title, **more)
    WorkShareFactory(work=work, writer=True, position=0)
    WorkShareFactory(work=work, position=1)
    return work


def facts_of(episode):
    return cue_sheet_facts(episode, prepared_by="Ida", today=TODAY)


def test_header_is_that_of_production_and_episode():
    episode = EpisodeFactory(
        code="WEIR-101",
        number="101",
        air_date=date(2027, 1, 9),
        production_number="P7",
        season__number=2,
        season__production__code="WEIR",
        season__production__network="Nine",
        season__production__country="GB",
        season__production__year=2026,
        cut__label="Lock",
        cut__locked=True,
    )
    header = facts_of(episode).header
    assert (header.production, header.production_code, header.kind) == ("The Weir", "WEIR", "Series")
    assert (header.season, header.episode_number, header.episode_title) == (2, "101", "Low Water")
    assert (header.episode_code, header.production_number) == ("WEIR-101", "P7")
    assert (header.network, header.country, header.year) == ("Nine", "GB", 2026)
    assert (header.first_broadcast, header.cut, header.cut_locked) == (date(2027, 1, 9), "Lock", True)
    assert (header.prepared_by, header.prepared_on, header.revision) == ("Ida", TODAY, None)


def test_feature_has_no_season():
    assert facts_of(EpisodeFactory(season__production__kind="feature")).header.season is None


def test_use_has_its_work_parties_and_recording():
    society = SocietyFactory()
    work = WorkFactory(title="Evening Tide", iswc="T0345246801")
    ida = PartyFactory(name="Ida Reed", ipi="00014107338", society=society)
    WorkShareFactory(work=work, party=ida, writer=True, performance="33.333333", territory="World excl. US")
    recording = RecordingFactory(title="Tide", isrc="GBXYZ2600001", label="Weirside", works=[work])
    episode = EpisodeFactory()
    UsageFactory(
        episode=episode,
        cue_number="1M1",
        recording=recording,
        function="on_screen",
        seen=True,
        vocal="vocal",
        origin="library",
        placed=(START + 25, START + 50),
    )
    (use,) = facts_of(episode).uses
    assert (use.number, use.in_frame, use.out_frame) == ("1M1", START + 25, START + 50)
    assert use.facets == Facets(Function.ON_SCREEN, seen=True, vocal=Vocal.VOCAL, origin=Origin.LIBRARY)
    assert use.recording == CueRecording(title="Tide", artist="The Lockkeepers", isrc="GBXYZ2600001", label="Weirside")
    assert use.works == (
        StatedWork(
            title="Evening Tide",
            iswc="T0345246801",
            parties=(
                StatedParty(
                    interest=Interest.WRITER,
                    role="CA",
                    name="Ida Reed",
                    share=Fraction("33.333333"),
                    ipi="00014107338",
                    society="PRS",
                    society_code="052",
                    territory="World excl. US",
                ),
            ),
            row=work.pk,
        ),
    )


def test_medley_has_its_works_in_order():
    works = [published("Sluice Gate"), published("Bells")]
    episode = EpisodeFactory()
    UsageFactory(episode=episode, recording=RecordingFactory(works=works), placed=(START, START + 25))
    assert [work.title for work in facts_of(episode).uses[0].works] == ["Sluice Gate", "Bells"]


def test_composer_of_an_arranged_free_work_is_in_the_public_domain():
    bells = WorkFactory(title="Bells", public_domain=True)
    work = WorkFactory(arrangement_of=bells)
    WorkShareFactory(work=work, writer=True, role="C", performance=0, party=PartyFactory(name="Trad."))
    WorkShareFactory(work=work, writer=True, role="AR", party=PartyFactory(name="Tove"))
    episode = EpisodeFactory()
    UsageFactory(episode=episode, work=work, placed=(START, START + 25))
    (stated,) = facts_of(episode).uses[0].works
    assert stated.arrangement_of == "Bells"
    assert {party.name: party.public_domain for party in stated.parties} == {"Trad.": True, "Tove": False}


def test_only_what_stands_in_the_cut_is_on_the_sheet():
    episode = EpisodeFactory()
    UsageFactory(episode=episode, cue_number="2M1", work=published(), placed=(START + 900, START + 950))
    UsageFactory(episode=episode, cue_number="1M1", work=published(), placed=(START, START + 25))
    UsageFactory(episode=episode, cue_number="3M1", work=published("Waiting"))
    UsageFactory(episode=episode, cue_number="4M1", title="no idea yet")
    UsageFactory(episode=episode, cue_number="5M1", deleted_at=NOW, placed=(START, START + 25))
    facts = facts_of(episode)
    assert [use.number for use in facts.uses] == ["1M1", "2M1"]
    assert set(facts.missing_from_cut) == {"3M1 Waiting", "4M1 no idea yet"}


def test_uncleared_sides_are_told_with_their_weakest_stage():
    work = published()
    recording = RecordingFactory(works=[work])
    episode = EpisodeFactory()
    usage = UsageFactory(episode=episode, recording=recording, placed=(START, START + 25))
    ClearanceFactory(usage=usage, work=work, stage=Stage.REQUESTED, share=50)
    ClearanceFactory(usage=usage, work=work, stage=Stage.NOT_NEEDED, reason=Reason.OWNED, share=50)
    assert facts_of(episode).uses[0].uncleared == ("sync requested", "master not asked")
    ClearanceFactory(usage=usage, work=None, recording=recording, side=Side.MASTER, stage=Stage.NOT_NEEDED)
    usage.clearances.filter(stage=Stage.REQUESTED).update(retired_at=NOW)
    assert facts_of(episode).uses[0].uncleared == ()


def test_theme_is_known_elsewhere_when_another_episode_has_its_work():
    work = published()
    episode = EpisodeFactory()
    UsageFactory(episode=episode, work=work, function="theme", placed=(START, START + 25))
    UsageFactory(episode=EpisodeFactory(), work=work)  # of another production
    assert not facts_of(episode).uses[0].elsewhere
    UsageFactory(episode=EpisodeFactory(season=episode.season), recording=RecordingFactory(works=[work]))
    assert facts_of(episode).uses[0].elsewhere


def test_episode_without_a_cut_is_refused():
    episode = EpisodeFactory()
    episode.current_cut = None
    with pytest.raises(Conflict, match="Add a cut first"):
        facts_of(episode)


@pytest.mark.parametrize("usages", [10, 200])
def test_queries_do_not_grow_with_usages(usages, django_assert_num_queries):
    episode = EpisodeFactory()
    theme = published()
    UsageFactory(episode=episode, work=theme, function="theme", placed=(START, START + 25))
    for number in range(usages):
        recording = RecordingFactory(works=[published(f"Song {number}")])
        usage = UsageFactory(
            episode=episode, recording=recording, placed=(START + 50 * number, START + 50 * number + 25)
        )
        ClearanceFactory(usage=usage, work=recording.works.get())
    with django_assert_num_queries(7):
        facts = facts_of(episode)
    assert len(facts.uses) == usages + 1


def issue(episode, number, payload=None):
    sheet = to_plain(set_sheet(facts_of(episode))) if payload is None else payload
    return CueSheetRevision.objects.create(
        episode=episode,
        cut=episode.current_cut,
        number=number,
        issued_at=NOW,
        issued_by=UserFactory(),
        payload=sheet,
        digest=digest(sheet),
    )


def test_revisions_are_listed_newest_first_without_what_they_say(django_assert_num_queries):
    episode = EpisodeFactory()
    issue(episode, 1)
    issue(episode, 2)
    with django_assert_num_queries(1):
        assert [(revision.number, str(revision.issued_by)[:3]) for revision in revisions_of(episode)] == [
            (2, "Ida"),
            (1, "Ida"),
        ]


def test_sheet_of_a_revision_is_what_was_issued():
    episode = EpisodeFactory()
    issue(episode, 1)
    assert sheet_of(revision_of(episode, 1)) == set_sheet(facts_of(episode))


def test_changed_payload_is_refused():
    revision = issue(EpisodeFactory(), 1)
    revision.payload["music_seconds"] = 1
    revision.save()
    with pytest.raises(Conflict, match="no longer has its digest"):
        sheet_of(revision)


def test_unknown_revision_is_not_visible():
    with pytest.raises(NotVisible):
        revision_of(EpisodeFactory(), 9)
