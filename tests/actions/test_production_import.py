"""A production goes out as one file and comes in elsewhere: the same content, byte for byte; and every refusal.

Outside checks: RFC 8785 (canonical JSON) and RFC 4648 (base64) by the standard library's own readers.
"""

import base64
import copy
import hashlib
import json

import pytest
from django.apps import apps
from django.core.files.storage import default_storage
from django.db import models, transaction

from supervision.actions.production_import import import_production
from supervision.interchange.production_json import read_production, write_production
from supervision.models import (
    AuditEntry,
    Clearance,
    Episode,
    Letter,
    Licence,
    Membership,
    Party,
    Production,
    Recording,
    Society,
    Usage,
    User,
    Work,
)
from supervision.queries.production_export import export_production
from supervision.queries.production_plan import plan_import
from supervision.queries.production_tables import (
    COLUMNS_LEFT_OUT,
    LEFT_OUT,
    TABLES,
    fields_of,
    model_of,
    shapes,
)
from supervision.rules.clearance import Stage
from supervision.rules.errors import BadValue, Conflict, NotAllowed
from supervision.rules.frozen import canonical, digest
from supervision.rules.production_data import READERS
from supervision.rules.production_file import Kind
from supervision.rules.roles import Role
from tests.factories.accounts import UserFactory
from tests.factories.catalogue import PartyFactory
from tests.factories.productions import EpisodeFactory
from tests.factories.whole_production import NOW, emptied, whole_production

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def whole(django_db_setup, django_db_blocker, tmp_path_factory):
    """The file of a whole production; its rows are there for this module."""
    with django_db_blocker.unblock(), transaction.atomic():
        yield write_production(export_production(whole_production()))
        transaction.set_rollback(True)


def read(data):
    return read_production(data, shapes())


def brought_in(data, by=None, **how):
    return import_production(content=read(data), by=by, now=NOW, **how)


def exported(code="MARRAM"):
    return write_production(export_production(Production.objects.get(code=code)))


def changed(data, change):
    """The file with another content and the digest that fits it."""
    whole = json.loads(data)
    change(whole["content"])
    whole["digest"] = digest(whole["content"])
    return canonical(whole)


# --- complete ----------------------------------------------------------------------------------------------------


def test_every_model_travels_or_is_left_out_with_a_reason():
    known = {model._meta.model_name for model in apps.get_app_config("supervision").get_models()}
    assert known == set(TABLES) | set(LEFT_OUT)
    assert not set(TABLES) & set(LEFT_OUT)
    assert all(LEFT_OUT.values())


def test_every_column_travels_or_is_left_out_with_a_reason():
    for table in TABLES:
        meta = model_of(table)._meta
        columns = {field.name for field in (*meta.concrete_fields, *meta.many_to_many) if not field.primary_key}
        left_out = {name for of, name in COLUMNS_LEFT_OUT if of == table}
        assert columns == {field.name for field in fields_of(table)} | left_out
        assert left_out <= columns


def test_every_reference_leads_to_a_row_that_travels_or_to_a_person():
    for shape in shapes().values():
        for column in shape.columns:
            assert column.kind not in (Kind.ROW, Kind.ROWS) or column.table in TABLES, f"{shape.name}.{column.name}"


def test_every_column_of_json_was_looked_at_for_numbers_of_rows():
    found = {
        (table, field.name)
        for table in TABLES
        for field in fields_of(table)
        if isinstance(field, models.JSONField) and table != "auditentry"
    }
    assert found == set(READERS)


def test_every_file_has_a_place_in_the_import():
    # a new column of files needs its check and its folder in actions/production_import.py
    assert [
        (name, column.name) for name, shape in shapes().items() for column in shape.columns if column.kind is Kind.FILE
    ] == [("licence", "file")]


def test_the_whole_production_has_a_row_in_every_table(whole):
    tables = json.loads(whole)["content"]["tables"]
    assert [table for table in TABLES if not tables[table]] == []


# --- there and back ----------------------------------------------------------------------------------------------


def test_a_production_comes_back_byte_for_byte_on_a_new_installation(whole):
    emptied()
    imported = brought_in(whole)
    assert exported() == whole
    assert (imported.production.code, imported.plan.unchanged) == ("MARRAM", False)
    assert Work.objects.filter(search_key="").count() == 0


def test_taking_it_in_twice_changes_nothing(whole):
    emptied()
    brought_in(whole)
    counts = {table: model_of(table)._default_manager.count() for table in TABLES}
    again = brought_in(whole)
    assert again.plan.unchanged
    assert {table: model_of(table)._default_manager.count() for table in TABLES} == counts


def test_where_the_catalogue_is_here_it_is_used_and_not_made_again(whole):
    before = {model: model.objects.count() for model in (Party, Work, Recording, Society)}
    other = changed(whole, rename)
    imported = brought_in(other)
    assert {model: model.objects.count() for model in before} == before
    assert write_production(export_production(imported.production)) == other.rstrip() + b"\n"


def rename(content):
    """The same production under another code, so that both fit into one house."""
    content["code"] = "ISLE"
    content["tables"]["production"][0]["code"] = "ISLE"
    for row in content["tables"]["episode"]:
        row["code"] = row["code"].replace("MARRAM", "ISLE")
    for row in content["tables"]["letter"]:
        row["reference"] = row["reference"].replace("MARRAM", "ISLE")


def test_catalogue_rows_with_other_numbers_here_are_met_by_their_content(whole):
    emptied()
    for name in ("Zephyr Desk", "Anvil Desk"):
        PartyFactory(name=name)
    brought_in(whole)
    assert exported() == whole


def test_people_without_an_account_are_kept_by_name_and_cannot_sign_in(whole):
    emptied()
    known = UserFactory(username="supervisor")
    imported = brought_in(whole)
    assert [person.text for person in imported.plan.unknown] == [
        "Hesper Lowbridge (composer)",
        "Jasper Quenell (coordinator)",
        "Constance Bellwether (finance)",
        "Rafferty Stone (viewer)",
    ]
    composer = User.objects.get(username="composer")
    assert (composer.is_active, composer.has_usable_password()) == (False, False)
    assert Membership.objects.get(user=known).role == Role.SUPERVISOR
    assert Licence.objects.first().recorded_by == known


def test_who_takes_it_in_becomes_a_supervisor_and_it_is_still_the_same(whole):
    emptied()
    staff = UserFactory(is_staff=True)
    imported = brought_in(whole, by=staff)
    assert Membership.objects.get(production=imported.production, user=staff).role == Role.SUPERVISOR
    assert brought_in(whole, by=staff).plan.unchanged
    (line,) = AuditEntry.objects.filter(verb="imported")
    assert (line.by, line.production, line.label, line.note) == (staff, None, "Marram", "8 episodes")


def kept(licence):
    with default_storage.open(licence.file.name) as file:
        return file.read()


def test_signed_files_lie_in_the_data_folder_again(whole):
    licence = Licence.objects.exclude(file="").first()
    name, data = licence.file_name, kept(licence)
    emptied()
    brought_in(whole)
    again = Licence.objects.get(number=licence.number)
    assert again.file.name != licence.file.name
    assert kept(again) == data
    assert (again.file_name, again.file_sha256) == (name, hashlib.sha256(data).hexdigest())


def test_history_points_to_the_rows_here(whole):
    emptied()
    brought_in(whole)
    line = AuditEntry.objects.filter(object_type="usage", verb="created").last()
    usage = Usage.objects.get(pk=line.object_id)
    assert line.after["recording_id"] == usage.recording_id
    assert line.by.username == "coordinator"
    letter = Letter.objects.first()
    assert set(letter.clearances.values_list("usage__episode", flat=True)) == {letter.episode_id}
    licensed = Clearance.objects.filter(stage=Stage.LICENSED)
    assert {clearance.standing_quote.clearance_id == clearance.pk for clearance in licensed} == {True}


def test_what_the_file_leaves_out_is_as_of_a_new_row(whole):
    def older(content):
        rename(content)
        for row in content["tables"]["production"]:
            del row["cast"]
        for row in content["tables"]["clearance"]:
            del row["asked"]
        del content["tables"]["rememberedmapping"]
        content["tables"]["licence"][0] |= {"file": "", "file_name": "", "file_size": None, "file_sha256": ""}

    imported = brought_in(changed(whole, older))
    assert imported.production.cast == ""
    assert not imported.production.column_mappings.exists()


# --- refused -----------------------------------------------------------------------------------------------------


def refusal(data, kind=BadValue, **how):
    models = (AuditEntry, Party, Production, Usage, User)
    counts = [model.objects.count() for model in models]
    with pytest.raises(kind) as refused:
        brought_in(data, **how)
    assert [model.objects.count() for model in models] == counts
    return refused.value


def told(code, place, data):
    refused = refusal(data)
    assert (refused.code, refused.place) == (code, place)
    assert refused.mend


@pytest.mark.parametrize(
    ("data", "code", "place"),
    [
        (b"", "production-file-unreadable", "line 1, column 1"),
        (b"\xff\xfe", "production-file-unreadable", "file"),
        (b"[" * 100_000, "production-file-unreadable", "file"),
        (b'{"format": 1.5}', "production-file-unreadable", "file"),
        (b'{"format": NaN}', "production-file-unreadable", "file"),
        (b"[]", "production-file-other", "format"),
        (b'{"format":"recipe"}', "production-file-other", "format"),
        (b'{"format":"ledger-line-production","schema":"1"}', "production-file-other", "schema"),
        (b'{"format":"ledger-line-production","schema":2}', "production-file-newer", "schema"),
        (b'{"format":"ledger-line-production","schema":1}', "production-file-changed", "digest"),
        (
            b'{"format":"ledger-line-production","schema":1,"digest":"","content":{"a":"\\ud800"}}',
            "production-file-unreadable",
            "content",
        ),
        (
            b'{"format":"ledger-line-production","schema":1,"digest":"x","content":{}}',
            "production-file-changed",
            "digest",
        ),
    ],
)
def test_what_is_no_whole_file_is_refused(data, code, place):
    told(code, place, data)


def test_a_file_that_was_edited_is_refused(whole):
    told("production-file-changed", "digest", whole.replace(b"Marram", b"Murram", 1))


def set_cell(table, number, name, value):
    def change(content):
        rename(content)
        content["tables"][table][number - 1][name] = value

    return change


def drop_cell(table, name):
    def change(content):
        rename(content)
        del content["tables"][table][0][name]

    return change


def set_content(name, value):
    def change(content):
        content[name] = value

    return change


def into(name, key, value):
    def change(content):
        content[name][key] = value

    return change


@pytest.mark.parametrize(
    ("change", "code", "place"),
    [
        (set_content("extra", 1), "production-file-shape", "content"),
        (set_content("code", 1), "production-file-shape", "content.code"),
        (set_content("people", [1]), "production-file-shape", "people[1]"),
        (
            set_content("people", [{"username": "", "first_name": "", "last_name": ""}]),
            "production-file-people",
            "people[1]",
        ),
        (into("files", "ab", "!"), "production-file-base64", "files.ab"),
        (into("files", "ab", 3), "production-file-base64", "files.ab"),
        (into("files", "ab", base64.b64encode(b"x").decode()), "production-file-changed", "files.ab"),
        (into("tables", "recipe", []), "production-file-row", "tables.recipe"),
        (into("tables", "usage", {}), "production-file-row", "tables.usage"),
        (into("tables", "usage", [1]), "production-file-row", "usage[1]"),
        (set_cell("usage", 3, "colour", 1), "production-file-row", "usage[3].colour"),
        (drop_cell("usage", "episode"), "production-file-row", "usage[1].episode"),
        (set_cell("usage", 3, "recording", 999), "production-file-row", "usage[3].recording"),
        (set_cell("usage", 3, "episode", None), "production-file-row", "usage[3].episode"),
        (set_cell("usage", 3, "title", None), "production-file-row", "usage[3].title"),
        (set_cell("usage", 3, "title", "a\0b"), "production-file-row", "usage[3].title"),
        (set_cell("usage", 3, "version", "1"), "production-file-row", "usage[3].version"),
        (set_cell("usage", 3, "version", 2**70), "production-file-row", "usage[3].version"),
        (set_cell("usage", 3, "seen", 1), "production-file-row", "usage[3].seen"),
        (set_cell("usage", 3, "deleted_at", "2026-11-26T12:00:00"), "production-file-row", "usage[3].deleted_at"),
        (set_cell("clearance", 1, "share", "1/3"), "production-file-row", "clearance[1].share"),
        (set_cell("clearance", 1, "asked", "x"), "production-file-row", "clearance[1].asked"),
        (set_cell("clearance", 1, "asked", {"scene": ["a\0b"]}), "production-file-row", "clearance[1].asked"),
        (set_cell("auditentry", 1, "after", {"title\0": 1}), "production-file-row", "auditentry[1].after"),
        (set_cell("quote", 1, "received_on", "2026-13-01"), "production-file-row", "quote[1].received_on"),
        (set_cell("quote", 1, "received_on", 5), "production-file-row", "quote[1].received_on"),
        (set_cell("quote", 1, "recorded_by", "nobody"), "production-file-row", "quote[1].recorded_by"),
        (set_cell("licence", 1, "file", "ab"), "production-file-row", "licence[1].file"),
        (set_cell("letter", 1, "clearances", [1, 1]), "production-file-row", "letter[1].clearances"),
        (set_cell("letter", 1, "clearances", [9999]), "production-file-row", "letter[1].clearances"),
        (set_cell("auditentry", 1, "object_id", {"usage": 9999}), "production-file-row", "auditentry[1].object_id"),
        (set_cell("auditentry", 1, "after", []), "production-file-row", "auditentry[1].after"),
        (
            set_cell("auditentry", 1, "after", {"work_id": {"work": 0}}),
            "production-file-row",
            "auditentry[1].after.work_id",
        ),
        (set_cell("letter", 1, "digest", "0" * 64), "digest-differs", "letter[1].digest"),
        (set_cell("letter", 1, "payload", {"a": 1}), "production-file-data", "letter[1].payload"),
        (set_cell("cuesheetrevision", 1, "payload", {}), "production-file-data", "cuesheetrevision[1].payload"),
        (set_cell("cuesheetrevision", 1, "overridden", {}), "production-file-data", "cuesheetrevision[1].overridden"),
        (set_cell("cuesheetprofile", 1, "body", {}), "production-file-data", "cuesheetprofile[1].body"),
        (set_cell("clearance", 1, "asked", {"uses": "1"}), "production-file-data", "clearance[1].asked"),
        (set_cell("episode", 1, "alternative_titles", [3]), "production-file-data", "episode[1].alternative_titles"),
        (set_cell("rememberedmapping", 1, "mapping", {}), "production-file-data", "rememberedmapping[1].mapping"),
        (set_cell("rememberedmapping", 1, "headings", [1]), "production-file-data", "rememberedmapping[1].headings"),
        (set_cell("licence", 1, "file_size", 3), "licence-file-differs", "licence[1].file"),
        (set_cell("usage", 3, "function", "dance"), "row-refused", "usage[3].function"),
        (set_cell("placement", 1, "out_frame", 0), "row-refused", "placement"),
        (set_cell("season", 1, "number", -1), "row-refused", "season[1].number"),
    ],
)
def test_a_content_that_is_not_sound_is_refused_with_its_place(whole, change, code, place):
    told(code, place, changed(whole, change))


def test_the_sentence_of_a_constraint_is_told(whole):
    assert "Music ends after it starts." in refusal(changed(whole, set_cell("placement", 1, "out_frame", 0))).text

    def twice(content):
        rename(content)
        content["tables"]["episode"][1]["number"] = content["tables"]["episode"][0]["number"]

    assert "The season has an episode of this number already." in refusal(changed(whole, twice)).text


def test_a_signed_file_that_is_none_is_refused(whole):
    def change(content):
        rename(content)
        row = content["tables"]["licence"][0]
        data = b"not a PDF"
        sha = hashlib.sha256(data).hexdigest()
        content["files"][sha] = base64.b64encode(data).decode()
        row |= {"file": sha, "file_sha256": sha, "file_size": len(data)}

    assert refusal(changed(whole, change)).code == "file-kind-unknown"


def test_a_production_that_is_here_and_differs_is_a_conflict(whole):
    Production.objects.filter(code="MARRAM").update(title="Other")
    assert refusal(whole, Conflict).code == "production-exists"


@pytest.mark.parametrize("ours", ["Another Name", None])
def test_the_same_number_for_something_else_is_a_conflict_until_ours_is_taken(whole, ours):
    party = Party.objects.exclude(ipi="").first()
    emptied()
    PartyFactory(name=ours or party.name, ipi=party.ipi, kind=party.kind, society=party.society, isni=party.isni)
    if ours is None:
        assert not plan_import(read(whole)).differing
        return
    refused = refusal(whole, Conflict)
    assert refused.code == "party-differs"
    assert f"IPI {party.ipi} is “{party.name}” in the file; what has it here differs in name." in refused.text
    assert refused.place.startswith("party[")
    brought_in(whole, take_ours=True)
    assert Party.objects.get(ipi=party.ipi).name == ours


def test_shares_that_differ_are_a_conflict(whole):
    work = Work.objects.exclude(iswc="").filter(shares__isnull=False).first()
    work.shares.first().delete()
    other = changed(whole, rename)
    assert "differs in shares of works" in refusal(other, Conflict).text


def test_codes_and_references_that_are_taken_are_conflicts(whole):
    reference = Letter.objects.first().reference

    def keep_letters(content):
        letters = copy.deepcopy(content["tables"]["letter"])
        rename(content)
        content["tables"]["letter"] = letters

    assert f"There is a letter {reference} here already." in refusal(changed(whole, keep_letters), Conflict).text
    EpisodeFactory(code="ISLE-101")
    assert "Another production here has the episode ISLE-101." in refusal(changed(whole, rename), Conflict).text


def test_many_conflicts_are_counted(whole):
    Party.objects.exclude(ipi="").update(kind="person", isni="0000000000000000")
    refused = refusal(changed(whole, rename), Conflict)
    assert " more." in refused.text
    assert refused.text.count("party[") == 5


def test_a_society_by_another_code_is_a_conflict(whole):
    def change(content):
        rename(content)
        content["tables"]["society"][0]["code"] = "999"

    assert refusal(changed(whole, change), Conflict).code == "society-taken"


def test_who_may_set_up_no_production_takes_none_in(whole):
    assert refusal(whole, NotAllowed, by=UserFactory()).code == "role-lacks-deed"


def test_a_missing_signed_file_is_told_on_the_way_out(whole):
    licence = Licence.objects.exclude(file="").first()
    licence.file = "licences/2026/11/gone.pdf"
    licence.save()
    with pytest.raises(Conflict) as refused:
        exported()
    assert (refused.value.code, refused.value.place) == ("licence-file-missing", "licences/2026/11/gone.pdf")


def test_equal_rows_of_the_catalogue_stay_as_many(whole):
    def change(content):
        rename(content)
        twin = dict(content["tables"]["party"][0], name="Twin Desk", ipi="", isni="")
        content["tables"]["party"] += [twin, dict(twin)]

    assert len(plan_import(read(changed(whole, change))).match.here["party"]) == 52
    brought_in(changed(whole, change))
    assert Party.objects.filter(name="Twin Desk").count() == 2
    assert Episode.objects.filter(code="ISLE-101").exists()
