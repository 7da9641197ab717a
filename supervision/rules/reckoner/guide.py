"""What each rule of the reckoner is called, what it answers, and a worked example: for the list of every door."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from supervision.rules.sentence import say


@dataclass(frozen=True, slots=True)
class Guide:
    """``title`` heads a page, ``answers`` is a sentence, ``example`` is input that the rule takes."""

    title: str
    answers: str
    example: Mapping[str, Any]


_TERM = {"from": "2027-01-01", "to": None}

GUIDES: MappingProxyType[str, Guide] = MappingProxyType(
    {
        "timecode": Guide(
            say("Timecode"),
            say("The frame of a timecode, or the timecode of a frame, and the exact seconds since 00:00:00:00."),
            {"rate": "30000/1001", "drop": True, "timecode": "00:10:00;00"},
        ),
        "duration": Guide(
            say("Duration"),
            say("The length between an in point and an out point, exactly and as a cue sheet prints it."),
            {"rate": "25", "drop": False, "in": "01:00:10:00", "out": "01:00:43:12"},
        ),
        "identifier": Guide(
            say("Identifier"),
            say("Whether an ISWC, ISRC, IPI number, ISAN, EIDR or ISNI can be right, and how it is written."),
            {"scheme": "iswc", "value": "T-034.524.680-1"},
        ),
        "shares": Guide(
            say("Shares"),
            say("What a split comes to, what is wrong with it, and the same split out of 100 or out of 200."),
            {
                "convention": "100",
                "parties": [
                    {"name": "Ada Weir", "role": "CA", "share": "50"},
                    {"name": "Tide Music", "role": "E", "share": "30"},
                    {"name": "Sluice Songs", "role": "E", "share": "20"},
                ],
            },
        ),
        "favoured": Guide(
            say("Most favoured nations"),
            say("Who is raised by whom to which 100 % rate, what everybody is paid, and the total."),
            {
                "currency": "USD",
                "parties": [
                    {"id": "pub-a", "side": "sync", "share": "60", "rate": 800000, "favoured_with": ["side"]},
                    {"id": "pub-b", "side": "sync", "share": "40", "rate": 1000000, "favoured_with": []},
                    {"id": "label", "side": "master", "share": "100", "rate": 800000, "favoured_with": ["all"]},
                ],
            },
        ),
        "coverage": Guide(
            say("Coverage"),
            say("Where a release plan is not covered by what the holders have granted, and who is lacking."),
            {
                "plan": [{"media": ["svod"], "territory": "World excl. US", **_TERM}],
                "sides": [
                    {
                        "id": "sync",
                        "holders": [
                            {
                                "id": "pub-a",
                                "shares": [{"territory": "World", "share": "60"}],
                                "grants": [{"media": ["all"], "territory": "World", **_TERM, "to": "2032-01-01"}],
                            },
                            {
                                "id": "pub-b",
                                "shares": [{"territory": "World", "share": "40"}],
                                "grants": [{"media": ["all"], "territory": "World", **_TERM}],
                            },
                        ],
                    }
                ],
            },
        ),
        "territory": Guide(
            say("Territory"),
            say("The countries that an expression means, and its shortest text."),
            {"expression": "World excl. US, CA"},
        ),
        "mechanical": Guide(
            say("Soundtrack mechanicals"),
            say("The statutory royalty of the United States for copies of a work on a soundtrack album."),
            {"country": "US", "year": 2025, "seconds": 312, "copies": 1},
        ),
    }
)
