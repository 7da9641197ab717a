"""Numbers for rows that are written together and point to one another."""

from __future__ import annotations

from django.db import connection, models


def reserved(model: type[models.Model], count: int) -> list[int]:
    """So many row numbers, ascending, that no row has or had. Call it in the transaction that writes the rows."""
    if not count:
        return []
    table = model._meta.db_table
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute(
                "SELECT nextval(pg_get_serial_sequence(%s, 'id')) FROM generate_series(1, %s)", [table, count]
            )
            return sorted(number for (number,) in cursor.fetchall())
        # SQLite holds the write lock from the transaction's beginning; the sequence remembers rows that are gone
        cursor.execute("SELECT seq FROM sqlite_sequence WHERE name = %s", [table])
        found = cursor.fetchone()
    first = (found[0] if found else 0) + 1
    return list(range(first, first + count))
