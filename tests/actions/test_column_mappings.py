"""Remembering which column is which field."""

import pytest
from django.utils import timezone

from supervision.actions.column_mappings import remember_mapping
from supervision.models import AuditEntry, RememberedMapping
from supervision.queries.column_mappings import remembered_mapping
from supervision.rules.column_mapping import ColumnMapping
from supervision.rules.errors import BadValue, NotAllowed
from supervision.rules.roles import Role
from supervision.rules.song_log import SONG_LOG
from supervision.rules.table import Table, TableRow
from tests.factories.accounts import MembershipFactory
from tests.factories.productions import ProductionFactory

pytestmark = pytest.mark.django_db
NOW = timezone.make_aware(timezone.datetime(2026, 11, 26, 12))


def table_of(*heads, heading=1):
    return Table(name="", lines=(TableRow(1, heads),), read_as="", heading=heading)


def remember(member, mapping, table):
    return remember_mapping(
        production=member.production, target=SONG_LOG, table=table, mapping=mapping, by=member.user, now=NOW
    )


@pytest.fixture
def member():
    return MembershipFactory(role=Role.COORDINATOR)


def test_columns_are_remembered_for_tables_with_the_same_heads(member):
    mapping = ColumnMapping(("title", "in"), {"in": "seconds"})
    remember(member, mapping, table_of("Song", "At"))
    assert remembered_mapping(member.production, "song_log", table_of("SONG", "at")) == mapping
    assert remembered_mapping(member.production, "song_log", table_of("At", "Song")) is None
    assert remembered_mapping(member.production, "cue_sheet", table_of("Song", "At")) is None
    assert remembered_mapping(ProductionFactory(), "song_log", table_of("Song", "At")) is None


def test_what_is_put_right_replaces_what_was_remembered(member):
    remember(member, ColumnMapping(("title", "in")), table_of("Song", "At"))
    kept = remember(member, ColumnMapping(("title", "out")), table_of("Song", "At"))
    assert (kept.version, RememberedMapping.objects.count()) == (2, 1)
    assert remembered_mapping(member.production, "song_log", table_of("Song", "At")).columns == ("title", "out")
    assert str(kept) == "columns of a song log"
    assert AuditEntry.objects.filter(object_type="rememberedmapping").count() == 2


def test_a_table_without_heads_is_not_remembered(member):
    assert remember(member, ColumnMapping(("title",)), table_of("Song", heading=0)) is None
    assert not RememberedMapping.objects.exists()


@pytest.mark.parametrize(("columns", "code"), [(("", ""), "mapping-empty"), (("title", "title"), "field-twice")])
def test_a_mapping_that_cannot_be_is_refused(member, columns, code):
    with pytest.raises(BadValue) as refused:
        remember(member, ColumnMapping(columns), table_of("Song", "At"))
    assert refused.value.code == code
    assert not RememberedMapping.objects.exists()


def test_who_may_not_change_the_log_is_refused():
    with pytest.raises(NotAllowed):
        remember(MembershipFactory(role=Role.VIEWER), ColumnMapping(("title",)), table_of("Song"))
