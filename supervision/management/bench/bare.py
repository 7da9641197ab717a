"""The same answers from hand-written SQL: what a page has to know, fetched the shortest way we know, and nothing drawn.

Written for the bench's own database, SQLite, and on the same indexes as the pages. Who asks is not looked up: a page's
queries for session, person and role are part of its price.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from django.db import connection

Ask = Callable[..., Sequence[Sequence[Any]]]
"""Runs a statement with named parameters and gives its rows."""

_COUNTED = """
    SELECT COUNT(*), SUM(uses) FROM (
      SELECT COUNT(*) AS uses FROM supervision_usage u JOIN supervision_episode e ON e.id = u.episode_id
      WHERE e.season_id = %(season)s AND u.deleted_at IS NULL AND u.origin IN ('pre_existing', 'library')
      GROUP BY u.recording_id, u.work_id, CASE WHEN u.recording_id IS NULL AND u.work_id IS NULL THEN u.id END)"""
_RANKED = """
    SELECT * FROM (
      SELECT u.recording_id, u.work_id, CASE WHEN u.recording_id IS NULL AND u.work_id IS NULL THEN u.id END AS alone,
        MIN(COALESCE(r.title, w.title, u.title)) AS name, MIN(r.artist), MIN(e.air_date) AS air,
        MIN((SELECT c.stage FROM supervision_clearance c WHERE c.usage_id = u.id AND c.retired_at IS NULL
             ORDER BY c.stage LIMIT 1)) AS weakest
      FROM supervision_usage u JOIN supervision_episode e ON e.id = u.episode_id
      LEFT JOIN supervision_recording r ON r.id = u.recording_id LEFT JOIN supervision_work w ON w.id = u.work_id
      WHERE e.season_id = %(season)s AND u.deleted_at IS NULL AND u.origin IN ('pre_existing', 'library')
      GROUP BY 1, 2, 3)
    ORDER BY weakest NULLS FIRST, air NULLS LAST, name LIMIT 50"""
_USES = """
    SELECT u.id, u.recording_id, e.code, e.number, u.cue_number, u.estimate_currency, u.sync_estimate_minor,
      u.master_estimate_minor FROM supervision_usage u JOIN supervision_episode e ON e.id = u.episode_id
    WHERE e.season_id = %(season)s AND u.deleted_at IS NULL AND u.origin IN ('pre_existing', 'library')
      AND u.recording_id IN (SELECT value FROM json_each(%(songs)s)) ORDER BY e.position, u.cue_number"""
_ASKED = """
    SELECT c.id, c.usage_id, c.side, c.share, c.stage, p.name, q.payable_minor, q.currency, l.fee_minor, l.currency,
      o.payable_minor, o.currency
    FROM supervision_clearance c LEFT JOIN supervision_party p ON p.id = c.holder_id
    LEFT JOIN supervision_quote q ON q.id = c.standing_quote_id
    LEFT JOIN supervision_licence l ON l.clearance_id = c.id AND l.withdrawn_at IS NULL
    LEFT JOIN supervision_option o ON o.quote_id = q.id AND o.exercised_on IS NOT NULL
    WHERE c.usage_id IN (SELECT value FROM json_each(%(usages)s)) AND c.retired_at IS NULL"""
_HOLDERS = """
    SELECT id, name FROM supervision_party WHERE id IN (
      SELECT c.holder_id FROM supervision_episode e JOIN supervision_usage u ON u.episode_id = e.id
      JOIN supervision_clearance c ON c.usage_id = u.id
      WHERE e.season_id = %(season)s AND u.deleted_at IS NULL AND c.retired_at IS NULL) ORDER BY name"""
_EPISODES = "SELECT id, code, number, title FROM supervision_episode WHERE season_id = %(season)s ORDER BY position"
_RATES = """SELECT x.base, x.quote, x.rate, x."on", x.source FROM supervision_exchangerate x
    JOIN supervision_season s ON s.production_id = x.production_id WHERE s.id = %(season)s"""
_BUDGET = "SELECT episode_id, category, amount_minor FROM supervision_budgetline WHERE season_id = %(season)s"
_ESTIMATED = """
    SELECT u.episode_id, u.estimate_currency, SUM(u.sync_estimate_minor), SUM(u.master_estimate_minor)
    FROM supervision_episode e JOIN supervision_usage u ON u.episode_id = e.id
    WHERE e.season_id = %(season)s AND u.deleted_at IS NULL GROUP BY u.episode_id, u.estimate_currency"""
_QUOTED = """
    SELECT u.episode_id, c.side, q.currency, SUM(q.payable_minor), SUM(q.payable_minor) FILTER (WHERE c.stage >= 60)
    FROM supervision_episode e JOIN supervision_usage u ON u.episode_id = e.id
    JOIN supervision_clearance c ON c.usage_id = u.id JOIN supervision_quote q ON q.id = c.standing_quote_id
    WHERE e.season_id = %(season)s AND u.deleted_at IS NULL AND c.retired_at IS NULL AND c.stage BETWEEN 50 AND 70
    GROUP BY u.episode_id, c.side, q.currency"""
_PAID = """
    SELECT u.episode_id, c.side, l.currency, SUM(l.fee_minor)
    FROM supervision_episode e JOIN supervision_usage u ON u.episode_id = e.id
    JOIN supervision_clearance c ON c.usage_id = u.id JOIN supervision_licence l ON l.clearance_id = c.id
    WHERE e.season_id = %(season)s AND u.deleted_at IS NULL AND c.retired_at IS NULL AND c.stage = 70
      AND l.withdrawn_at IS NULL GROUP BY u.episode_id, c.side, l.currency"""
_EXERCISED = """
    SELECT u.episode_id, c.side, o.currency, SUM(o.payable_minor)
    FROM supervision_episode e JOIN supervision_usage u ON u.episode_id = e.id
    JOIN supervision_clearance c ON c.usage_id = u.id JOIN supervision_option o ON o.quote_id = c.standing_quote_id
    WHERE e.season_id = %(season)s AND u.deleted_at IS NULL AND c.retired_at IS NULL AND c.stage = 70
      AND o.exercised_on IS NOT NULL GROUP BY u.episode_id, c.side, o.currency"""
# The rate is text, "25" or "30000/1001": CAST reads the figures in front.
_MUSIC = """
    SELECT episode_id, origin, SUM(MAX(1, (2 * frames * parts + rate) / (2 * rate))) FROM (
      SELECT u.episode_id, u.origin, p.out_frame - p.in_frame AS frames, CAST(k.rate AS INTEGER) AS rate,
        CASE WHEN k.rate LIKE '%%/1001' THEN 1001 ELSE 1 END AS parts
      FROM supervision_episode e JOIN supervision_cut k ON k.id = e.current_cut_id
      JOIN supervision_placement p ON p.cut_id = k.id JOIN supervision_usage u ON u.id = p.usage_id
      WHERE e.season_id = %(season)s AND u.deleted_at IS NULL)
    GROUP BY episode_id, origin"""
_LOGGED = """
    SELECT u.*, p.in_frame, p.out_frame, r.title, r.version_title, r.artist, w.title FROM supervision_usage u
    JOIN supervision_episode e ON e.id = u.episode_id
    LEFT JOIN supervision_placement p ON p.usage_id = u.id AND p.cut_id = e.current_cut_id
    LEFT JOIN supervision_recording r ON r.id = u.recording_id LEFT JOIN supervision_work w ON w.id = u.work_id
    WHERE u.episode_id = %(episode)s AND u.deleted_at IS NULL ORDER BY p.in_frame"""
_ELSEWHERE = """
    SELECT mine.usage_id, e.number FROM (
      SELECT u.id AS usage_id, rw.work_id FROM supervision_usage u
      JOIN supervision_recordingwork rw ON rw.recording_id = u.recording_id
      WHERE u.episode_id = %(episode)s AND u.deleted_at IS NULL) AS mine
    JOIN supervision_recordingwork rw ON rw.work_id = mine.work_id
    JOIN supervision_usage o ON o.recording_id = rw.recording_id AND o.deleted_at IS NULL
    JOIN supervision_episode e ON e.id = o.episode_id JOIN supervision_season s ON s.id = e.season_id
    WHERE e.id <> %(episode)s AND +s.production_id = %(production)s"""
_OTHER_RATES = """SELECT DISTINCT k.rate, k."drop" FROM supervision_episode e
    JOIN supervision_cut k ON k.id = e.current_cut_id WHERE e.season_id = %(season)s AND e.id <> %(episode)s"""
_CUTS = """SELECT k.*, (SELECT COUNT(*) FROM supervision_placement p WHERE p.cut_id = k.id)
    FROM supervision_cut k WHERE k.episode_id = %(episode)s ORDER BY k.number DESC"""


def _board(ask: Ask) -> None:
    ask(_COUNTED)
    songs = [song[0] for song in ask(_RANKED)]
    uses = ask(_USES, songs=json.dumps(songs))
    ask(_ASKED, usages=json.dumps([use[0] for use in uses]))
    for statement in (_EPISODES, _HOLDERS, _RATES, _ESTIMATED, _QUOTED, _PAID, _EXERCISED):
        ask(statement)


def _money(ask: Ask) -> None:
    for statement in (_EPISODES, _BUDGET, _RATES, _ESTIMATED, _QUOTED, _PAID, _EXERCISED, _MUSIC):
        ask(statement)


def _log(ask: Ask) -> None:
    for statement in (_LOGGED, _ELSEWHERE, _OTHER_RATES, _CUTS):
        ask(statement)


def _search(ask: Ask) -> None:
    for count, rows, *details in _FOUND:
        ask(count)
        shown = json.dumps([row[0] for row in ask(rows)])
        for statement in details:
            ask(statement, shown=shown)


_FOUND = (
    (
        "SELECT COUNT(*) FROM supervision_recording WHERE deleted_at IS NULL AND search_key LIKE %(like)s",
        """SELECT * FROM supervision_recording WHERE deleted_at IS NULL AND search_key LIKE %(like)s
           ORDER BY search_key NOT LIKE %(begins)s, title, artist LIMIT 10""",
        """SELECT rw.recording_id, w.title FROM supervision_recordingwork rw JOIN supervision_work w ON w.id = rw.work_id
           WHERE rw.recording_id IN (SELECT value FROM json_each(%(shown)s)) ORDER BY rw.position""",
        """SELECT s.recording_id, p.name FROM supervision_recordingshare s JOIN supervision_party p ON p.id = s.party_id
           WHERE s.recording_id IN (SELECT value FROM json_each(%(shown)s)) ORDER BY s.position""",
    ),
    (
        "SELECT COUNT(*) FROM supervision_work WHERE deleted_at IS NULL AND search_key LIKE %(like)s",
        """SELECT * FROM supervision_work WHERE deleted_at IS NULL AND search_key LIKE %(like)s
           ORDER BY search_key NOT LIKE %(begins)s, title LIMIT 10""",
        "SELECT work_id, title FROM supervision_worktitle WHERE work_id IN (SELECT value FROM json_each(%(shown)s))",
        """SELECT s.work_id, s.interest, p.name FROM supervision_workshare s JOIN supervision_party p ON p.id = s.party_id
           WHERE s.work_id IN (SELECT value FROM json_each(%(shown)s)) ORDER BY s.position""",
        """SELECT rw.work_id, COUNT(*) FROM supervision_recordingwork rw JOIN supervision_recording r
           ON r.id = rw.recording_id WHERE rw.work_id IN (SELECT value FROM json_each(%(shown)s))
           AND r.deleted_at IS NULL GROUP BY rw.work_id""",
    ),
    (
        "SELECT COUNT(*) FROM supervision_party WHERE deleted_at IS NULL AND search_key LIKE %(like)s",
        """SELECT * FROM supervision_party WHERE deleted_at IS NULL AND search_key LIKE %(like)s
           ORDER BY search_key NOT LIKE %(begins)s, name LIMIT 10""",
    ),
)
ANSWERS: Mapping[str, Callable[[Ask], None]] = {"board": _board, "log": _log, "money": _money, "search": _search}


def bare(page: str, about: Mapping[str, Any]) -> Callable[[], None]:
    """A call that fetches the page's whole answer; ``about`` names what it is about."""

    def fetch() -> None:
        with connection.cursor() as cursor:

            def ask(statement: str, **found: str) -> Sequence[Sequence[Any]]:
                cursor.execute(statement, {**about, **found})
                rows: Sequence[Sequence[Any]] = cursor.fetchall()
                return rows

            ANSWERS[page](ask)

    return fetch
