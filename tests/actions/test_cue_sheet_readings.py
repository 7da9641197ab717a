"""Cue sheets read back: our own come back as they went out, others' by a mapping; all or nothing."""

import io
from collections import Counter
from dataclasses import replace
from datetime import UTC, date, datetime
from fractions import Fraction

import openpyxl
import pytest

from supervision.actions.cue_sheet_readings import accept_reading, begin_reading, drop_reading, map_reading
from supervision.actions.search_keys import refresh_parties, refresh_works
from supervision.documents.cue_sheet_xlsx import cue_sheet_workbook
from supervision.interchange.cue_sheet_csv import write_cue_sheet
from supervision.interchange.table import LARGEST
from supervision.models import CueSheetReading, Party, Recording, RememberedMapping, Usage, Work
from supervision.queries.cue_sheet_profiles import house_profiles
from supervision.queries.cue_sheet_readings import How, plan_of
from supervision.queries.cue_sheets import draft_of
from supervision.rules.cue_sheet import CueRecording
from supervision.rules.cue_sheet_setting import set_sheet
from supervision.rules.errors import BadValue, Conflict, FileTooLarge, NotAllowed, StaleEdit, UnreadableFile
from supervision.rules.frozen import canonical, to_plain
from supervision.rules.programme import AlternativeTitle
from supervision.rules.roles import Role
from supervision.rules.timecode import FrameRate
from supervision.rules.usage import Facets, Function, Origin, ProgrammePart, ThemePosition, Vocal
from tests.factories import cue_sheets
from tests.factories.accounts import MembershipFactory
from tests.factories.catalogue import (
    PartyFactory,
    RecordingFactory,
    SocietyFactory,
    WorkFactory,
    WorkShareFactory,
)
from tests.factories.cue_sheets import facts, publisher, use, writer
from tests.factories.productions import EpisodeFactory, ProductionFactory, SeasonFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)
ID, HARBOUR, MARSH = "00014107338", "00334284961", "00000000199"


@pytest.fixture
def episode():
    """An episode without a cut and an empty catalogue but for one society."""
    SocietyFactory()
    production = ProductionFactory(title="The Weir", country="GB")
    made = EpisodeFactory(season=SeasonFactory(production=production), code="WEIR-101", number="101")
    made.current_cut = None
    made.save()
    made.cuts.all().delete()
    return made


@pytest.fixture
def by(episode):
    return MembershipFactory(production=episode.season.production, role=Role.SUPERVISOR).user


def work(title="Evening Tide", parties=None, **more):
    """A work without a number, unless one is given: two works cannot have one ISWC."""
    return cue_sheets.work(title, parties, **{"iswc": ""} | more)


def everything():
    """A sheet with every kind of cue: thirds, medley, arrangement, library, theme, recap, score that rolls up, no song."""
    thirds = [writer(name, "100/3", ipi="") for name in ("Ida Reed", "Bo Alder", "Cy Brook")]
    tide = work(
        "Evening Tide",
        [*thirds, publisher(share="66.67"), publisher("Upper Lock", "33.33", ipi="")],
        iswc="T0345246801",
        number="PRS 77",
        alternative_titles=(AlternativeTitle("Marée du soir", "fr"), AlternativeTitle("=Tide")),
    )
    heard = CueRecording(title="Evening Tide", artist="The Lockkeepers", isrc="GBXYZ2600001", label="Weirside")
    one, two = (
        work("Sluice Gate", [writer("Dee Fen", ipi=""), publisher()]),
        work("Towpath", [writer("Ed Ash", ipi=""), publisher()]),
    )
    medley = CueRecording(title="Boatmen's Medley", artist="The Narrowboats", version="Live")
    old = writer("Traditional", 0, "C", ipi="", society="", society_code="")
    bells = work("Ferry Bells", [old, writer("Tove Marsh", role="AR", ipi="")], arrangement_of="Bells")
    library = CueRecording(
        title="Pulse", artist="Sy", library=True, label="Millrace", catalogue_number="MLR 204", track_number="017"
    )
    score = Facets(origin=Origin.COMMISSIONED)
    theme = Facets(Function.THEME, ThemePosition.OPENING, origin=Origin.COMMISSIONED)
    songs = [
        use("1M1", 0, 33, [tide], recording=heard, facets=Facets(vocal=Vocal.VOCAL)),
        use("1M2", 40, 15, [one, two], recording=medley, facets=Facets(Function.ON_SCREEN, seen=True)),
        use("1M3", 60, 12, [bells]),
        use(
            "1M4",
            80,
            7,
            [work("Pulse", [writer("Gil", ipi=""), publisher()])],
            recording=library,
            facets=Facets(origin=Origin.LIBRARY),
        ),
        use("1M5", 100, 20, [work("Weir Theme", [writer("Tove Marsh", ipi=""), publisher()])], facets=theme),
        use("1M8", 140, 10, [], title="something slow"),
        use("1M9", 160, 5, [tide], recording=heard, facets=Facets(part=ProgrammePart.RECAP)),
    ]
    cues = [
        use(
            f"2M{n}",
            200 + 20 * n,
            9 + n,
            [work(f"Night {n}", [writer("Tove Marsh", ipi=""), publisher()])],
            facets=score,
        )
        for n in range(3)
    ]
    return facts(*songs, *cues)


def forms(sheet):
    return {
        "sheet.json": canonical(to_plain(sheet)),
        "sheet.csv": write_cue_sheet(sheet),
        "sheet.xlsx": cue_sheet_workbook(sheet),
    }


def keyed():
    """Names and titles can be found, as actions leave them."""
    refresh_parties(Party.objects.all())
    refresh_works(Work.objects.all())


def read(episode, by, data, name="sheet.json"):
    return begin_reading(episode=episode, name=name, data=data, by=by, now=NOW)


def accepted(episode, by, data, name="sheet.json"):
    return accept_reading(reading=read(episode, by, data, name), by=by, now=NOW)


def again(episode, profile):
    episode.refresh_from_db()
    return draft_of(episode, prepared_by="Ida Person", today=date(2026, 11, 25), profile=profile.code).sheet


@pytest.mark.parametrize("name", ["sheet.json", "sheet.csv", "sheet.xlsx"])
@pytest.mark.parametrize("profile", house_profiles(), ids=lambda profile: profile.code)
def test_our_own_sheet_comes_back_as_it_went_out(episode, by, profile, name):
    sheet = set_sheet(everything(), profile)
    added = accepted(episode, by, forms(sheet)[name], name)
    assert added["usages"] == 10
    back = again(episode, profile)
    assert to_plain(back)["cues"] == to_plain(sheet)["cues"]
    assert (back.running_seconds, back.music_seconds, back.rate) == (
        sheet.running_seconds,
        sheet.music_seconds,
        sheet.rate,
    )


def test_drop_frame_across_midnight_comes_back(episode, by):
    rate = FrameRate(Fraction(30000, 1001), drop=True)
    start = rate.day - 300
    told = facts()
    cue = replace(use("1M1", works=[work("Tide")]), in_frame=start + 200, out_frame=start + 500)
    sheet = set_sheet(replace(told, rate=rate, start_frame=start, running_frames=9000, uses=(cue,)))
    accepted(episode, by, canonical(to_plain(sheet)))
    back = again(episode, sheet.set_by if sheet.profile is None else house_profiles()[0])
    assert [(each.timecode_in, each.timecode_out, each.start) for each in back.cues] == [
        (each.timecode_in, each.timecode_out, each.start) for each in sheet.cues
    ]


def test_what_the_catalogue_has_is_used_and_stays(episode, by):
    reed = PartyFactory(name="I. Reed", ipi=ID)
    tide = WorkFactory(title="Evening Tide", iswc="T0345246801")
    WorkShareFactory(work=tide, writer=True, party=reed)
    sheet = set_sheet(facts(use("1M1", works=[work("Evening Tyde", iswc="T0345246801")])))
    row = read(episode, by, canonical(to_plain(sheet)))
    plan = plan_of(row)
    assert next((found.how, found.party) for found in plan.parties.values()) == (How.IDENTIFIER, reed)
    assert [(found.how, found.work) for found in plan.works.values()] == [(How.IDENTIFIER, tide)]
    assert "shares-differ" in {finding.code for finding in plan.findings}
    assert accept_reading(reading=row, by=by, now=NOW) == Counter(cut=1, usages=1)
    assert list(Work.objects.values_list("title", flat=True)) == ["Evening Tide"]
    assert Usage.objects.get().work == tide


def test_names_find_what_has_no_number(episode, by):
    tide, reed = WorkFactory(title="Evening Tide"), PartyFactory(name="Ida Reed")
    WorkShareFactory(work=tide, writer=True, party=reed)
    known = RecordingFactory(title="Evening Tide", artist="the lockkeepers", works=[tide])
    keyed()
    heard = CueRecording(title="Evening Tide", artist="The Lockkeepers")
    sheet = set_sheet(facts(use("1M1", works=[work("Evening Tide", [writer()])], recording=heard)))
    plan = plan_of(read(episode, by, canonical(to_plain(sheet))))
    assert {found.how for found in (*plan.parties.values(), *plan.works.values(), *plan.recordings.values())} == {
        How.NAME
    }
    assert [found.recording for found in plan.recordings.values()] == [known]


def test_several_of_one_name_stop_it(episode, by):
    PartyFactory(name="Ida Reed")
    PartyFactory(name="Ida Reed")
    keyed()
    sheet = set_sheet(facts(use("1M1", works=[work("Tide", [writer(ipi="", society="XX", society_code="")])])))
    row = read(episode, by, canonical(to_plain(sheet)))
    assert [finding.code for finding in plan_of(row).findings] == ["several", "society-unknown"]
    with pytest.raises(Conflict, match="several of this name"):
        accept_reading(reading=row, by=by, now=NOW)
    for made in (WorkFactory, WorkFactory):
        made(title="Sluice")
    RecordingFactory(title="Sluice", artist="A")
    RecordingFactory(title="Sluice", artist="A")
    keyed()
    bare = set_sheet(facts(use("1M1", works=[work("Sluice", [])], recording=CueRecording(title="Sluice", artist="A"))))
    assert plan_of(read(episode, by, canonical(to_plain(bare)))).blocked
    assert Usage.objects.count() == 0


def test_two_songs_with_one_number_stop_it(episode, by):
    twice = [work("Tide", iswc="T0345246801"), work("Weir", iswc="T0345246801")]
    heard = [CueRecording(title=title, isrc="GBXYZ2600001") for title in ("Tide", "Weir")]
    uses = [use(f"1M{n}", 60 * n, 9, [twice[n]], recording=heard[n]) for n in range(2)]
    plan = plan_of(read(episode, by, canonical(to_plain(set_sheet(facts(*uses))))))
    assert [(finding.code, finding.place) for finding in plan.findings] == [
        ("number-twice", "T0345246801"),
        ("number-twice", "GBXYZ2600001"),
    ]


def test_usage_that_is_logged_stays_as_it_is(by, episode):
    made = EpisodeFactory(season=episode.season, code="WEIR-102", number="102")
    UsageFactory(episode=made, cue_number="1M1", title="Mine")
    sheet = set_sheet(facts(use("1M1"), use("1M2", start=60)))
    row = read(made, by, canonical(to_plain(sheet)))
    assert "usage-logged" in {finding.code for finding in plan_of(row).findings}
    assert accept_reading(reading=row, by=by, now=NOW)["usages"] == 1
    assert made.usages.get(cue_number="1M1").title == "Mine"


def test_other_rate_than_the_cut_stops_it(by, episode):
    made = EpisodeFactory(season=episode.season, code="WEIR-102", number="102", cut__rate="24")
    row = read(made, by, canonical(to_plain(set_sheet(facts(use())))))
    with pytest.raises(Conflict, match="The sheet counts at 25"):
        accept_reading(reading=row, by=by, now=NOW)


def test_one_refused_cue_leaves_nothing_behind(by, episode):
    made = EpisodeFactory(season=episode.season, code="WEIR-102", number="102")
    sheet = set_sheet(facts(use("1M2"), use("1M2", start=60)))
    row = read(made, by, canonical(to_plain(sheet)))
    with pytest.raises(BadValue) as refused:
        accept_reading(reading=row, by=by, now=NOW)
    assert refused.value.place.startswith("cue 1M2")
    assert (Work.objects.count(), Party.objects.count(), made.usages.count()) == (0, 0, 0)
    row.refresh_from_db()
    assert row.state == "draft"


def test_draft_is_decided_once(episode, by):
    row = read(episode, by, canonical(to_plain(set_sheet(facts(use())))))
    with pytest.raises(StaleEdit):
        accept_reading(reading=row, by=by, now=NOW, version=7)
    drop_reading(reading=row, by=by, now=NOW)
    with pytest.raises(Conflict, match="was dropped already"):
        accept_reading(reading=row, by=by, now=NOW)
    assert not Usage.objects.exists()


def test_only_who_logs_may_read(episode):
    viewer = MembershipFactory(production=episode.season.production, role=Role.VIEWER).user
    with pytest.raises(NotAllowed):
        read(episode, viewer, b"{}")


# --- others' tables -------------------------------------------------------------------------------------------------

THEIRS = (
    "Cue No;Title;Composer;Publisher;Timing;Usage;Artist\r\n"
    "1M1;Evening Tide;Ida Reed (PRS) 50%; ;0:33;BV;The Lockkeepers\r\n"
    "1M2;Night;Tove Marsh;Weir Music;0:20;BI;\r\n"
)
PARTIES = (
    "Cue,Work Title,In,Out,Use,Name,Role,IPI,Society,Share\n"
    "1M1,Evening Tide,10:00:10:00,10:00:40:00,BV,Ida Reed,CA,14107338,PRS,25\n"
    ",,,,BV,Bo Alder,composer,bad,PRS,25\n"
    "1M1,Evening Tide,10:00:10:00,10:00:40:00,BV,Reed Harbour,E,,PRS,50\n"
    "1M2,Night,10:01:00:00,10:01:20:00,T,Tove Marsh,??,,,x\n"
)


@pytest.fixture
def placed(episode):
    """An episode with a cut at 25 frames a second from 10:00:00:00."""
    return EpisodeFactory(season=episode.season, code="WEIR-102", number="102")


def test_table_of_others_is_mapped_by_its_heads(placed, by):
    row = read(placed, by, THEIRS.encode(), "theirs.csv")
    plan = plan_of(row)
    assert [(use.use.number, use.use.title, use.use.facets.vocal) for use in plan.uses] == [
        ("1M1", "Evening Tide", Vocal.VOCAL),
        ("1M2", "Night", Vocal.INSTRUMENTAL),
    ]
    shares = {party.name: party.share for found in plan.works.values() for party in found.stated.parties}
    assert shares == {"Ida Reed": 50, "Tove Marsh": 100, "Weir Music": 100}
    assert "shares-not-100" in {finding.code for finding in plan.findings}
    added = accept_reading(reading=row, by=by, now=NOW)
    assert added == Counter(usages=2, works=2, recordings=1, parties=3)
    assert Recording.objects.get().artist == "The Lockkeepers"
    assert Party.objects.get(name="Ida Reed").society.name == "PRS"


@pytest.mark.parametrize(
    ("composer", "told"),
    [
        ("Ida Reed 50% / Bo Alder 50%", {"Ida Reed": 50, "Bo Alder": 50, "Reed Harbour": 100}),
        ("Ida Reed 25% / Bo Alder 25%", {"Ida Reed": 50, "Bo Alder": 50, "Reed Harbour": 100}),
        ("Ida Reed", {"Ida Reed": 100, "Reed Harbour": 100}),
        ("Ida Reed; Bo Alder", {"Ida Reed": 0, "Bo Alder": 0, "Reed Harbour": 100}),
    ],
)
def test_party_alone_on_its_side_has_all_of_it(placed, by, composer, told):
    data = f"Cue,Title,Composer,Publisher\n1M1,Tide,{composer},Reed Harbour\n"
    plan = plan_of(read(placed, by, data.encode(), "theirs.csv"))
    assert {party.name: party.share for found in plan.works.values() for party in found.stated.parties} == told


def test_rows_of_parties_belong_to_the_cue_above(placed, by):
    row = read(placed, by, PARTIES.encode(), "theirs.csv")
    plan = plan_of(row)
    told = [
        (use.use.number, [(party.name, party.role, party.share) for party in use.use.works[0].parties])
        for use in plan.uses
    ]
    assert told == [
        ("1M1", [("Ida Reed", "CA", 50), ("Bo Alder", "C", 50), ("Reed Harbour", "E", 100)]),
        ("1M2", [("Tove Marsh", "CA", 100)]),
    ]
    assert {"ipi-invalid", "role-unknown", "share-unreadable", "shares-on-100"} <= {
        finding.code for finding in plan.findings
    }
    accept_reading(reading=row, by=by, now=NOW)
    assert Party.objects.get(name="Ida Reed").ipi == ID
    assert [placement.in_frame for placement in placed.current_cut.placements.order_by("in_frame")] == [
        900_250,
        901_500,
    ]


def test_mapping_is_put_right_and_remembered(placed, by):
    data = b"A,B\nx,Evening Tide\n"
    row = read(placed, by, data, "odd.csv")
    assert plan_of(row).blocked
    map_reading(reading=row, columns=("cue_number", "title"), by=by, now=NOW)
    row.refresh_from_db()
    assert [use.use.title for use in plan_of(row).uses] == ["Evening Tide"]
    assert RememberedMapping.objects.get().kind == "cue_sheet"
    with pytest.raises(BadValue):
        map_reading(reading=row, columns=("title", "title"), by=by, now=NOW)
    ours = read(placed, by, canonical(to_plain(set_sheet(facts(use())))))
    with pytest.raises(Conflict):
        map_reading(reading=ours, columns=("title",), by=by, now=NOW)


def test_table_of_others_needs_a_cut(episode, by):
    row = read(episode, by, THEIRS.encode(), "theirs.csv")
    with pytest.raises(Conflict, match="no cut"):
        accept_reading(reading=row, by=by, now=NOW)


def workbook(rows):
    book, written = openpyxl.Workbook(), io.BytesIO()
    for row in rows:
        book.active.append(row)
    book.save(written)
    return written.getvalue()


def test_workbook_of_others(placed, by):
    rows = [["Cue Number", "Song Title", "Writers"], ["1M1", "Evening Tide", "Ida Reed / Bo Alder"]]
    plan = plan_of(read(placed, by, workbook(rows), "theirs.xlsx"))
    assert [party.name for found in plan.works.values() for party in found.stated.parties] == ["Ida Reed", "Bo Alder"]


def test_original_of_two_arrangements_is_made_once(episode, by):
    arranged = [work(f"Bells {n}", [writer(ipi="")], arrangement_of="Old Bells") for n in range(2)]
    sheet = set_sheet(facts(*(use(f"1M{n}", 60 * n, 9, [one]) for n, one in enumerate(arranged))))
    assert accepted(episode, by, canonical(to_plain(sheet)))["works"] == 3
    assert Work.objects.filter(title="Old Bells").count() == 1


def test_rows_that_say_nothing_of_a_cue_are_passed_over(placed, by):
    data = "Cue,Title,Composer,Name\n,,,Nobody\n1M1,Tide,(PRS) / Ida Reed,\n"
    plan = plan_of(read(placed, by, data.encode(), "theirs.csv"))
    assert [party.name for found in plan.works.values() for party in found.stated.parties] == ["Ida Reed"]


def test_file_beyond_the_limit_is_refused(placed, by):
    with pytest.raises(FileTooLarge):
        read(placed, by, b" " * (LARGEST + 1))


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (b"{", "begins as JSON and is none"),
        (b'{"a": 1}', "no cue sheet of ours"),
        (b"[" * 100_000, None),
        (b"", None),
        (b"{" + b'"a":{' * 100_000, "begins as JSON"),
        (b"\x00\x01\x02", None),
    ],
)
def test_what_cannot_be_read_is_refused_and_nothing_kept(placed, by, data, told):
    with pytest.raises(UnreadableFile, match=told):
        read(placed, by, data, "x")
    assert not CueSheetReading.objects.exists()


@pytest.mark.parametrize(
    ("column", "cell", "told"),
    [
        ("frames", "many", "cue 1, frames"),
        ("start_seconds", "1/3", "does not begin on a frame"),
        ("start_seconds", "-1", "does not begin on a frame"),
        ("cues_inside", "[", "cues_inside"),
        ("origin", "found", "cues"),
        ("rate", "x", "x"),
        ("timecode_in", "99:99:99:99", "1M1"),
    ],
)
def test_our_table_that_was_spoiled_names_the_place(placed, by, column, cell, told):
    sheet = set_sheet(facts(use("1M1")))
    lines = write_cue_sheet(sheet).decode("utf-8-sig").splitlines()
    at = lines[0].split(",").index(column)
    spoiled = [lines[0]]
    for line in lines[1:]:
        cells = line.split(",")
        cells[at] = cell
        spoiled.append(",".join(cells))
    with pytest.raises(UnreadableFile, match=told):
        read(placed, by, "\r\n".join(spoiled).encode(), "sheet.csv")
