"""Deadlines as iCalendar: read back by the icalendar library, which follows RFC 5545."""

from datetime import UTC, date, datetime, timedelta

from icalendar import Calendar

from supervision.interchange.calendar import write_calendar
from supervision.rules.deadlines import Deadline, DeadlineKind

NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)


def written(*deadlines):
    return write_calendar(
        deadlines, now=NOW, site="music.example", address=lambda found: f"https://music.example/{found.row}"
    )


def answer(**changes):
    given = {
        "day": date(2026, 12, 4),
        "kind": DeadlineKind.ANSWER,
        "row": 7,
        "matter": "潮音出版, sync, 潮騒の手紙; נועם, part 1",
        "production": "KELP",
        "production_title": "Kelp & Iron",
        "episode": "KELP-101",
    }
    return Deadline(**given | changes)


def test_each_deadline_is_an_all_day_event():
    [event] = Calendar.from_ical(written(answer())).walk("VEVENT")
    # RFC 5545 3.6.1: DTEND of an all-day event is the day after
    assert (event.decoded("dtstart"), event.decoded("dtend")) == (date(2026, 12, 4), date(2026, 12, 5))
    assert str(event["summary"]) == "Answer due: 潮音出版, sync, 潮騒の手紙; נועם, part 1"
    assert (str(event["uid"]), str(event["url"])) == ("answer-7@music.example", "https://music.example/7")
    [alarm] = event.walk("VALARM")
    assert alarm.decoded("trigger") == timedelta(days=-1)


def test_calendar_has_what_the_standard_requires():
    calendar = Calendar.from_ical(written(answer()))
    # RFC 5545 3.6: PRODID and VERSION 2.0; 3.6.1: UID and DTSTAMP
    assert (str(calendar["version"]), "prodid" in calendar) == ("2.0", True)
    assert all("dtstamp" in event for event in calendar.walk("VEVENT"))


def test_lines_are_folded_and_end_as_the_standard_says():
    lines = written(answer(matter="x" * 300)).split(b"\r\n")
    # RFC 5545 3.1: no line longer than 75 octets
    assert max(map(len, lines)) <= 75
    assert b"\n" not in b"".join(lines)


def test_same_deadline_keeps_its_identifier_when_its_day_moves():
    first = Calendar.from_ical(written(answer())).walk("VEVENT")[0]["uid"]
    assert Calendar.from_ical(written(answer(day=date(2027, 1, 1)))).walk("VEVENT")[0]["uid"] == first


def test_nothing_due_is_an_empty_calendar():
    assert Calendar.from_ical(written()).walk("VEVENT") == []
