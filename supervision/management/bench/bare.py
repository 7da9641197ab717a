"""The same answers from hand-written SQL: what a page has to know, fetched the shortest way, and nothing drawn."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from django.db import connection

_BOARD = [
    """SELECT u.recording_id, MIN(r.title), MIN(r.artist), COUNT(DISTINCT u.id), MIN(e.air_date), MIN(c.stage) AS weakest
       FROM supervision_usage u JOIN supervision_episode e ON e.id = u.episode_id
       JOIN supervision_recording r ON r.id = u.recording_id
       LEFT JOIN supervision_clearance c ON c.usage_id = u.id
       WHERE e.season_id = %(season)s AND u.deleted_at IS NULL AND c.retired_at IS NULL
       GROUP BY u.recording_id ORDER BY weakest, MIN(e.air_date), MIN(r.title) LIMIT 50""",
    """SELECT COUNT(DISTINCT u.recording_id), COUNT(*) FROM supervision_usage u
       JOIN supervision_episode e ON e.id = u.episode_id WHERE e.season_id = %(season)s AND u.deleted_at IS NULL""",
    """SELECT c.usage_id, c.side, c.share, c.stage, p.name, q.payable_minor, q.currency, l.fee_minor
       FROM supervision_clearance c JOIN supervision_usage u ON u.id = c.usage_id
       LEFT JOIN supervision_party p ON p.id = c.holder_id LEFT JOIN supervision_quote q ON q.id = c.standing_quote_id
       LEFT JOIN supervision_licence l ON l.clearance_id = c.id
       WHERE u.deleted_at IS NULL AND c.retired_at IS NULL AND u.recording_id IN (
         SELECT recording_id FROM (
           SELECT u.recording_id, MIN(c.stage) AS weakest, MIN(e.air_date) AS air, MIN(r.title) AS title
           FROM supervision_usage u JOIN supervision_episode e ON e.id = u.episode_id
           JOIN supervision_recording r ON r.id = u.recording_id LEFT JOIN supervision_clearance c ON c.usage_id = u.id
           WHERE e.season_id = %(season)s GROUP BY u.recording_id ORDER BY weakest, air, title LIMIT 50) AS shown)""",
]
_FEES = [
    """SELECT u.episode_id, u.estimate_currency, SUM(u.sync_estimate_minor), SUM(u.master_estimate_minor)
       FROM supervision_usage u JOIN supervision_episode e ON e.id = u.episode_id
       WHERE e.season_id = %(season)s AND u.deleted_at IS NULL GROUP BY u.episode_id, u.estimate_currency""",
    """SELECT u.episode_id, c.side, q.currency, SUM(q.payable_minor),
         SUM(CASE WHEN c.stage >= 60 THEN q.payable_minor ELSE 0 END)
       FROM supervision_clearance c JOIN supervision_usage u ON u.id = c.usage_id
       JOIN supervision_episode e ON e.id = u.episode_id JOIN supervision_quote q ON q.id = c.standing_quote_id
       WHERE e.season_id = %(season)s AND u.deleted_at IS NULL AND c.retired_at IS NULL AND c.stage BETWEEN 50 AND 70
       GROUP BY u.episode_id, c.side, q.currency""",
    """SELECT u.episode_id, c.side, l.currency, SUM(l.fee_minor)
       FROM supervision_licence l JOIN supervision_clearance c ON c.id = l.clearance_id
       JOIN supervision_usage u ON u.id = c.usage_id JOIN supervision_episode e ON e.id = u.episode_id
       WHERE e.season_id = %(season)s AND u.deleted_at IS NULL AND c.retired_at IS NULL AND l.withdrawn_at IS NULL AND c.stage = 70
       GROUP BY u.episode_id, c.side, l.currency""",
]
_MUSIC = [
    """SELECT u.episode_id, u.origin, SUM((2 * (p.out_frame - p.in_frame) + 25) / 50)
       FROM supervision_placement p JOIN supervision_usage u ON u.id = p.usage_id
       JOIN supervision_episode e ON e.id = u.episode_id
       WHERE e.season_id = %(season)s AND p.cut_id = e.current_cut_id AND u.deleted_at IS NULL
       GROUP BY u.episode_id, u.origin""",
]
_LOG = [
    """SELECT u.*, p.in_frame, p.out_frame, r.title, r.artist FROM supervision_usage u
       LEFT JOIN supervision_placement p ON p.usage_id = u.id LEFT JOIN supervision_recording r ON r.id = u.recording_id
       WHERE u.episode_id = %(episode)s AND u.deleted_at IS NULL ORDER BY p.in_frame""",
    """SELECT o.recording_id, e.number FROM supervision_usage o JOIN supervision_episode e ON e.id = o.episode_id
       WHERE e.season_id = %(season)s AND o.deleted_at IS NULL AND o.episode_id <> %(episode)s
       AND o.recording_id IN (SELECT recording_id FROM supervision_usage WHERE episode_id = %(episode)s)""",
]
_SEARCH = [
    "SELECT id, title, artist FROM supervision_recording WHERE search_key LIKE %(like)s ORDER BY title, artist LIMIT 50",
    "SELECT id, title FROM supervision_work WHERE search_key LIKE %(like)s ORDER BY title LIMIT 50",
    "SELECT id, name FROM supervision_party WHERE search_key LIKE %(like)s ORDER BY name LIMIT 50",
    "SELECT COUNT(*) FROM supervision_recording WHERE search_key LIKE %(like)s",
    "SELECT COUNT(*) FROM supervision_work WHERE search_key LIKE %(like)s",
    "SELECT COUNT(*) FROM supervision_party WHERE search_key LIKE %(like)s",
]

ANSWERS: Mapping[str, list[str]] = {
    "board": _BOARD + _FEES,
    "log": _LOG,
    "money": _FEES + _MUSIC,
    "search": _SEARCH,
}


def bare(page: str, about: Mapping[str, Any]) -> Callable[[], int]:
    """A call that fetches the page's answer whole and returns how many rows it took."""

    def fetch() -> int:
        rows = 0
        with connection.cursor() as cursor:
            for statement in ANSWERS[page]:
                cursor.execute(statement, about)
                rows += len(cursor.fetchall())
        return rows

    return fetch
