from datetime import UTC, datetime
from decimal import Decimal

import pytest

from supervision.actions.parties import add_party, change_party
from supervision.actions.recordings import add_recording
from supervision.actions.shares import set_work_shares
from supervision.actions.works import add_work, change_work, remove_work, restore_work
from supervision.models import AuditEntry, Party, Recording, Work
from supervision.rules.errors import BadRow, BadValue, Conflict, NotAllowed, StaleEdit
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.catalogue import PartyFactory, RecordingFactory, WorkFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 11, 25, 9, 30, tzinfo=UTC)


@pytest.fixture
def by():
    return MembershipFactory(role=Role.COMPOSER).user


def shares_of(work):
    return [
        (share.party.name, share.interest, share.role, share.performance, share.control, share.territory)
        for share in work.shares.select_related("party")
    ]


def test_add_work_keeps_shares_as_typed(by):
    ada, ben, tide = PartyFactory(name="Ada Weir"), PartyFactory(name="Ben Lock"), PartyFactory(name="Tide Music")
    work = add_work(
        fields={"title": "Low Water"},
        writers=[
            {"party": ada, "role": "C", "performance": Decimal("66.66")},
            {"party": ben, "role": "A", "performance": Decimal("33.34")},
        ],
        publishers=[{"party": tide, "role": "E", "performance": Decimal(100)}],
        by=by,
        now=NOW,
    )
    assert shares_of(work) == [
        ("Ada Weir", "writer", "C", Decimal("66.66"), 0, "World"),
        ("Ben Lock", "writer", "A", Decimal("33.34"), 0, "World"),
        ("Tide Music", "publisher", "E", 100, 100, "World"),
    ]


def test_control_share_of_writers_without_publisher_is_their_performance_share(by):
    work = add_work(
        fields={"title": "Low Water"},
        writers=[{"party": PartyFactory(name="Ada Weir"), "role": "CA", "performance": Decimal(100)}],
        by=by,
        now=NOW,
    )
    assert shares_of(work) == [("Ada Weir", "writer", "CA", 100, 100, "World")]


def test_typed_control_share_and_territory_stand(by):
    work = add_work(
        fields={"title": "Low Water"},
        publishers=[
            {
                "party": PartyFactory(name="Tide Music"),
                "role": "SE",
                "performance": Decimal(100),
                "control": Decimal("12.5"),
                "territory": "germany",
            }
        ],
        by=by,
        now=NOW,
    )
    assert shares_of(work) == [("Tide Music", "publisher", "SE", 100, Decimal("12.5"), "DE")]


def test_party_given_by_name_is_added_in_its_kind(by):
    add_work(
        fields={"title": "Low Water"},
        writers=[{"party": "Ada Weir", "role": "CA", "performance": Decimal(100)}],
        publishers=[{"party": "Tide Music", "role": "E", "performance": Decimal(100), "administrator": "Sluice Admin"}],
        by=by,
        now=NOW,
    )
    assert list(Party.objects.values_list("name", "kind")) == [
        ("Ada Weir", "person"),
        ("Sluice Admin", "organisation"),
        ("Tide Music", "organisation"),
    ]


def test_name_given_twice_adds_one_party(by):
    whole = {"party": "Ada Weir", "performance": Decimal(100)}
    add_work(
        fields={"title": "Low Water"},
        writers=[{**whole, "role": "CA"}],
        publishers=[{**whole, "role": "E"}],
        by=by,
        now=NOW,
    )
    assert list(Party.objects.values_list("name", "kind")) == [("Ada Weir", "person")]


def test_name_that_several_have_is_refused_by_place(by):
    for _ in range(2):
        add_party(fields={"name": "Ada Weir"}, by=by, now=NOW)
    with pytest.raises(BadRow) as refused:
        add_work(
            fields={"title": "Low Water"},
            writers=[{"party": "ada weir", "role": "CA", "performance": Decimal(100)}],
            by=by,
            now=NOW,
        )
    assert refused.value.fields == {"writers.0.party": ["Several parties are called ada weir. Choose one of them."]}


@pytest.mark.parametrize(
    ("entry", "fields"),
    [
        (
            {"role": "E", "performance": Decimal(100)},
            {"writers.0.role": ["“E” is no role of a writer. Roles are C, A, CA, AR, AD, SR, SA, TR, PA."]},
        ),
        (
            {"role": "C", "performance": Decimal("100.01")},
            {"writers.0.performance": ["100.01 is no share. A share lies between 0 and 100 percent."]},
        ),
        (
            {"role": "C", "performance": None},
            {"writers.0.performance": ["The share is missing. Give it in percent; 0 stands for none."]},
        ),
        (
            {"role": "C", "performance": Decimal("33.3333333")},
            {"writers.0.performance": ["33.3333333 is too fine. Give at most 6 decimals."]},
        ),
    ],
)
def test_share_that_cannot_stand_is_refused_by_place_and_nothing_is_written(by, entry, fields):
    with pytest.raises(BadRow) as refused:
        add_work(fields={"title": "Low Water"}, writers=[{"party": "Ada Weir", **entry}], by=by, now=NOW)
    assert refused.value.fields == fields
    assert (Work.objects.count(), Party.objects.count(), AuditEntry.objects.count()) == (0, 0, 0)


def test_unreadable_territory_is_refused_by_place(by):
    with pytest.raises(BadRow) as refused:
        add_work(
            fields={"title": "Low Water"},
            writers=[
                {"party": "Ada Weir", "role": "C", "performance": Decimal(100), "territory": "World"},
                {"party": "Ben Lock", "role": "C", "performance": Decimal(0), "territory": "Nowhereland"},
            ],
            by=by,
            now=NOW,
        )
    assert refused.value.place == "writers.1.territory"


def test_party_twice_in_one_role_is_refused(by):
    ada = PartyFactory(name="Ada Weir")
    half = {"party": ada, "role": "CA", "performance": Decimal(50)}
    with pytest.raises(BadRow) as refused:
        add_work(fields={"title": "Low Water"}, writers=[half, {**half, "territory": "world"}], by=by, now=NOW)
    assert refused.value.fields == {
        "writers.0.party": ["Ada Weir stands here twice as CA for World. Add the shares up in one row."]
    }


def test_work_without_title_is_refused(by):
    with pytest.raises(BadRow) as refused:
        add_work(fields={"title": ""}, by=by, now=NOW)
    assert refused.value.fields["title"] == ["This field cannot be blank."]


def test_person_whose_roles_lack_the_log_may_not_write(by):
    viewer = MembershipFactory(role=Role.VIEWER).user
    work = WorkFactory()
    for deed in (
        lambda: add_work(fields={"title": "Low Water"}, by=viewer, now=NOW),
        lambda: change_work(work=work, fields={"title": "High Water"}, version=1, by=viewer, now=NOW),
        lambda: set_work_shares(work=work, writers=[], publishers=[], by=viewer, now=NOW),
        lambda: remove_work(work=work, by=viewer, now=NOW),
        lambda: restore_work(work=work, by=viewer, now=NOW),
    ):
        with pytest.raises(NotAllowed):
            deed()


def test_staff_without_membership_may_write():
    staff = UserFactory(is_staff=True)
    assert add_work(fields={"title": "Low Water"}, by=staff, now=NOW).title == "Low Water"


def test_shares_are_set_as_a_whole_with_before_and_after_in_one_line(by):
    ada, ben = PartyFactory(name="Ada Weir"), PartyFactory(name="Ben Lock")
    work = add_work(
        fields={"title": "Low Water"},
        writers=[{"party": ada, "role": "CA", "performance": Decimal(100)}],
        by=by,
        now=NOW,
    )
    changed = set_work_shares(
        work=work,
        writers=[{"party": ben, "role": "C", "performance": Decimal("33.34"), "administrator": ada}],
        publishers=[],
        version=work.version,
        by=by,
        now=NOW,
    )
    line = AuditEntry.objects.filter(object_type="work", object_id=work.pk).first()
    assert changed.version == work.version + 1
    assert (line.verb, line.by, line.label) == ("set the shares of", by, "Low Water")
    assert line.before == {
        "writers": [
            {
                "party": "Ada Weir",
                "party_id": ada.pk,
                "territory": "World",
                "role": "CA",
                "performance": "100",
                "control": "100",
            }
        ],
        "publishers": [],
    }
    assert line.after == {
        "writers": [
            {
                "party": "Ben Lock",
                "party_id": ben.pk,
                "territory": "World",
                "administrator": "Ada Weir",
                "administrator_id": ada.pk,
                "role": "C",
                "performance": "33.34",
                "control": "33.34",
            }
        ],
        "publishers": [],
    }


def test_side_that_is_not_given_stays(by):
    whole = {"performance": Decimal(100)}
    work = add_work(
        fields={"title": "Low Water"},
        writers=[{"party": "Ada Weir", "role": "CA", **whole}],
        publishers=[{"party": "Tide Music", "role": "E", "administrator": "Sluice", **whole}],
        by=by,
        now=NOW,
    )
    change_work(
        work=work, fields={}, writers=[{"party": "Ben Lock", "role": "C", **whole}], version=None, by=by, now=NOW
    )
    assert shares_of(work) == [
        ("Ben Lock", "writer", "C", 100, 0, "World"),
        ("Tide Music", "publisher", "E", 100, 100, "World"),
    ]
    assert work.shares.get(interest="publisher").administrator.name == "Sluice"


def test_same_shares_again_write_nothing(by):
    writers = [{"party": PartyFactory(), "role": "CA", "performance": Decimal("33.34")}]
    work = add_work(fields={"title": "Low Water"}, writers=writers, by=by, now=NOW)
    lines = AuditEntry.objects.count()
    again = set_work_shares(work=work, writers=writers, publishers=[], by=by, now=NOW)
    assert (again.version, AuditEntry.objects.count()) == (work.version, lines)


def test_stale_shares_are_refused_and_the_others_stay(by):
    work = add_work(fields={"title": "Low Water"}, by=by, now=NOW)
    ada = {"party": PartyFactory(name="Ada Weir"), "role": "CA", "performance": Decimal(100)}
    set_work_shares(work=work, writers=[ada], publishers=[], version=work.version, by=by, now=NOW)
    with pytest.raises(StaleEdit):
        set_work_shares(work=work, writers=[], publishers=[], version=work.version, by=by, now=NOW)
    assert [party for party, *_ in shares_of(work)] == ["Ada Weir"]


def test_change_work_sets_fields_titles_and_shares_at_once(by):
    work = add_work(
        fields={"title": "Low Water"}, alternative_titles=[{"title": "Ebbe", "language": "de"}], by=by, now=NOW
    )
    change_work(
        work=work,
        fields={"title": "High Water", "iswc": "T0345246801"},
        alternative_titles=[{"title": "Flut", "language": "de"}],
        writers=[{"party": "Ada Weir", "role": "CA", "performance": Decimal(100)}],
        publishers=[],
        version=work.version,
        by=by,
        now=NOW,
    )
    work.refresh_from_db()
    assert (work.title, work.iswc) == ("High Water", "T0345246801")
    assert list(work.alternative_titles.values_list("title", "language")) == [("Flut", "de")]
    assert [party for party, *_ in shares_of(work)] == ["Ada Weir"]
    assert work.search_key == "high water | flut | ada weir | t0345246801"


def test_stale_change_writes_nothing(by):
    work = add_work(fields={"title": "Low Water"}, by=by, now=NOW)
    change_work(work=work, fields={"title": "High Water"}, version=work.version, by=by, now=NOW)
    with pytest.raises(StaleEdit):
        change_work(
            work=work,
            fields={"title": "Slack Water"},
            alternative_titles=[{"title": "Flut"}],
            version=work.version,
            by=by,
            now=NOW,
        )
    work.refresh_from_db()
    assert (work.title, work.alternative_titles.count()) == ("High Water", 0)


def test_work_is_found_by_all_its_words_and_so_are_its_recordings(by):
    work = add_work(
        fields={"title": "Řeka", "iswc": "T0345246801"},
        alternative_titles=[{"title": "Die Flüsse"}],
        writers=[{"party": "Zoë O’Hara", "role": "CA", "performance": Decimal(100)}],
        publishers=[{"party": "Tide Music", "role": "E", "performance": Decimal(100)}],
        by=by,
        now=NOW,
    )
    recording = add_recording(fields={"title": "River"}, works=[work], by=by, now=NOW)
    assert Work.objects.get().search_key == "reka | die flusse | zoe ohara | t0345246801"
    assert Recording.objects.get(pk=recording.pk).search_key == "river | reka | die flusse | zoe ohara"


def test_renamed_writer_is_in_the_keys_of_works_and_recordings(by):
    work = add_work(
        fields={"title": "Reka"},
        writers=[{"party": "Zoe Hara", "role": "CA", "performance": Decimal(100)}],
        by=by,
        now=NOW,
    )
    add_recording(fields={"title": "River"}, works=[work], by=by, now=NOW)
    zoe = Party.objects.get()
    change_party(party=zoe, fields={"name": "Zoë Löwe"}, version=zoe.version, by=by, now=NOW)
    assert Work.objects.get().search_key == "reka | zoe lowe"
    assert Recording.objects.get().search_key == "river | reka | zoe lowe"


def test_removed_work_can_be_restored(by):
    work = add_work(fields={"title": "Low Water"}, by=by, now=NOW)
    assert remove_work(work=work, by=by, now=NOW).deleted_at == NOW
    assert restore_work(work=work, by=by, now=NOW).deleted_at is None
    assert list(AuditEntry.objects.values_list("verb", flat=True)) == ["restored", "deleted", "created"]


def test_used_work_is_not_removed_and_its_places_are_named(by):
    work = WorkFactory(title="Low Water")
    RecordingFactory(title="River", works=[work])
    WorkFactory(title="Low Water (brass)", arrangement_of=work)
    seen = UsageFactory(work=work, cue_number="1M1")
    UsageFactory(work=work, cue_number="2M2")
    MembershipFactory(production=seen.episode.season.production, user=by)
    with pytest.raises(Conflict) as refused:
        remove_work(work=work, by=by, now=NOW)
    assert refused.value.text == (
        "“Low Water” is still used: the recording “River”, the arrangement “Low Water (brass)”, "
        f"{seen.episode.code} 1M1, 1 in productions that you do not see."
    )


def test_iswc_taken_meanwhile_keeps_a_work_from_being_restored(by):
    work = add_work(fields={"title": "Low Water", "iswc": "T0345246801"}, by=by, now=NOW)
    remove_work(work=work, by=by, now=NOW)
    add_work(fields={"title": "Other", "iswc": "T0345246801"}, by=by, now=NOW)
    with pytest.raises(BadRow) as refused:
        restore_work(work=work, by=by, now=NOW)
    assert refused.value.place == "iswc"


def test_iswc_is_stored_in_one_form(by):
    """ISO 15707: T-034.524.680-1 is the standard's own example of a valid number."""
    assert add_work(fields={"title": "Low Water", "iswc": " t 034.524.680-1 "}, by=by, now=NOW).iswc == "T0345246801"


def test_wrong_check_digit_is_refused_with_its_place(by):
    """ISO 15707: the check digit of T-034.524.680 is 1."""
    with pytest.raises(BadValue) as refused:
        add_work(fields={"title": "Low Water", "iswc": "T-034.524.680-2"}, by=by, now=NOW)
    assert refused.value.place == "iswc"
    assert Work.objects.count() == 0


def test_iswc_of_another_work_is_refused_and_the_other_is_named(by):
    add_work(fields={"title": "Low Water", "iswc": "T0345246801"}, by=by, now=NOW)
    with pytest.raises(BadRow) as refused:
        add_work(fields={"title": "Other", "iswc": "T-034.524.680-1"}, by=by, now=NOW)
    assert refused.value.fields == {
        "iswc": ["“Low Water” has this ISWC already. Use that one, or compare the identifier with its source."]
    }


def test_wrong_check_digit_that_an_import_brought_does_not_stand_in_the_way(by):
    work = WorkFactory(title="Low Water", iswc="T0345246802")
    fields = {"title": "High Water", "iswc": "T0345246802"}
    assert change_work(work=work, fields=fields, version=work.version, by=by, now=NOW).title == "High Water"
