"""``manage.py coverage`` in words; its JSON is held against page and API in tests/web/test_coverage.py."""

from datetime import date
from io import StringIO

import pytest
from django.core.management import call_command

from supervision.rules.clearance import Side, Stage
from tests.factories.catalogue import PartyFactory
from tests.factories.productions import EpisodeFactory
from tests.factories.releases import AIR, WindowFactory, asked, licensed, option_of, song_in

pytestmark = pytest.mark.django_db


@pytest.fixture
def episode():
    return EpisodeFactory(code="WEIR-101", air_date=AIR)


def run(*arguments):
    out, err = StringIO(), StringIO()
    try:
        call_command("coverage", *arguments, stdout=out, stderr=err)
    except SystemExit as left:
        return left.code, out.getvalue(), err.getvalue()
    return 0, out.getvalue(), err.getvalue()


def test_gaps_options_and_blocks_are_told_line_by_line(episode):
    WindowFactory(season=episode.season, media="theatrical", territory="UK", starts_on=date(2027, 1, 1))
    usage = song_in(episode, title="Evening Tide", cue_number="1M1")
    option_of(licensed(usage, Side.SYNC, holder=PartyFactory(name="Mole Music"), grants=[{"media": "SVOD"}]))
    asked(usage, Side.MASTER, holder=PartyFactory(name="Weir\nRecords"), stage=Stage.REQUESTED)
    expected = """\
WEIR-101: Not covered: 2 gaps in 1 of 1 usage.
  1M1 Evening Tide, sync: theatrical, UK, from 2027-01-01 in perpetuity: 0 % granted, lacking: Mole Music. {closed}
  1M1 Evening Tide, master: theatrical, UK, from 2027-01-01 in perpetuity: 0 % granted, lacking: Weir Records.
Cheapest: theatrical of Mole Music for USD 2,000.00 until 2027-12-31. Gaps that stay: 1.
What blocks the broadcast: 1
  1M1 Evening Tide, master: not licensed by Weir Records (requested).
"""
    closed = "Closed by theatrical of Mole Music for USD 2,000.00 until 2027-12-31."
    assert run("weir-101", "--on", "2026-11-25") == (0, expected.format(closed=closed), "")


def test_findings_are_told(episode):
    WindowFactory(season=episode.season)
    usage = song_in(episode, title="Evening Tide", cue_number="1M1")
    for side in Side:
        asked(usage, side, stage=Stage.NOT_NEEDED, reason="blanket")
    status, out, _ = run("WEIR-101")
    assert (status, out.splitlines()[1][:50]) == (0, "Warning: 1M1 Evening Tide, sync: It is covered by ")


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("NOWHERE",), "There is no episode NOWHERE.\n"),
        (("WEIR-101", "--on", "tomorrow"), "“tomorrow” is no day. Write it as 2026-12-01.\n"),
    ],
)
def test_bad_input_is_one_line_and_status_2(episode, arguments, said):
    assert run(*arguments) == (2, "", said)
