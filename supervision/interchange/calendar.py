"""Deadlines as a calendar, RFC 5545: one all-day event each, under an identifier that stays the same."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import datetime, timedelta

from icalendar import Alarm, Calendar, Event

from supervision.rules.deadlines import Deadline
from supervision.rules.sentence import english, say

PRODUCT = "-//Ledger Line//Deadlines//EN"
WARNED = timedelta(days=-1)


def write_calendar(
    deadlines: Iterable[Deadline],
    *,
    now: datetime,
    site: str,
    address: Callable[[Deadline], str],
    tell: Callable[[str], str] = english,
) -> bytes:
    """The deadlines as an iCalendar stream.

    ``site`` is the host in identifiers, ``address`` leads to the matter's page, ``tell`` says a sentence as its reader wants it.
    """
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    calendar.add("x-wr-calname", tell(say("Ledger Line deadlines")))
    calendar.add("refresh-interval", timedelta(hours=6), parameters={"VALUE": "DURATION"})
    for deadline in deadlines:
        calendar.add_component(
            _event(
                deadline, tell(deadline.text), tell(deadline.kind.label), now=now, site=site, address=address(deadline)
            )
        )
    stream: bytes = calendar.to_ical()
    return stream


def _event(deadline: Deadline, text: str, kind: str, *, now: datetime, site: str, address: str) -> Event:
    event = Event()
    event.add("uid", f"{deadline.kind}-{deadline.row}@{site}")
    event.add("dtstamp", now)
    event.add("dtstart", deadline.day)
    event.add("dtend", deadline.day + timedelta(days=1))
    event.add("summary", text)
    event.add("description", " ".join(filter(None, [deadline.production_title, deadline.episode])))
    event.add("categories", [kind])
    event.add("url", address)
    event.add("transp", "TRANSPARENT")
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", text)
    alarm.add("trigger", WARNED)
    event.add_component(alarm)
    return event
