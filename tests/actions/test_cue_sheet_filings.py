"""Filing: with whom, when and how; taken back; and issuing with a reason, from which filings follow."""

from datetime import UTC, date, datetime

import pytest

from supervision.actions.cue_sheet_filings import file_cue_sheet, restore_filing, withdraw_filing
from supervision.actions.cue_sheets import issue_cue_sheet
from supervision.models import AuditEntry, CueSheetFiling, Episode, Society, WorkShare
from supervision.queries.cue_sheet_filings import filing_for, filing_of, filings_for
from supervision.queries.cue_sheets import sheet_of
from supervision.rules.errors import BadRow, BadValue, Conflict, NotAllowed, NotVisible
from supervision.rules.filing import FilingState, Means
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.paper import episode_with_music

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)
TODAY = date(2026, 11, 25)


@pytest.fixture
def episode():
    return episode_with_music()


def person(episode, role="supervisor"):
    return MembershipFactory(production=episode.season.production, role=role).user


@pytest.fixture
def revision(episode):
    return issue_cue_sheet(episode=episode, by=person(episode), now=NOW)


def told(revision, by, **more):
    given = {"society": Society.objects.get(code="052"), "filed_on": TODAY, "means": Means.PORTAL} | more
    return file_cue_sheet(revision=revision, by=by, now=NOW, **given)


# --- filing -------------------------------------------------------------------------------------------------------


def test_filing_is_kept_and_written_down(episode, revision):
    by = person(episode, "coordinator")
    filing = told(revision, by, reference=" 4711 ", note="by the new portal")
    assert (filing.whom, filing.reference, filing.filed_by, filing.means) == ("PRS", "4711", by, "portal")
    entry = AuditEntry.objects.latest("pk")
    assert (entry.verb, entry.label, entry.after) == (
        "filed the cue sheet of",
        str(episode),
        {"revision": 1, "with": "PRS", "on": "2026-11-25"},
    )
    assert filing_of(episode, TODAY).state is FilingState.FILED


def test_broadcaster_is_named(episode, revision):
    filing = told(revision, person(episode), society=None, recipient="  Channel  Nine and a Half ")
    assert filing.whom == "Channel Nine and a Half"
    assert str(filing) == "Channel Nine and a Half, 2026-11-25"


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"society": None}, "with a society, or with a recipient"),
        ({"recipient": "Nine"}, "with a society, or with a recipient"),
        ({"filed_on": date(2026, 11, 26)}, "still to come"),
        ({"filed_on": date(2026, 11, 24)}, "was issued on 2026-11-25"),
    ],
)
def test_filing_that_cannot_be_is_refused(episode, revision, wrong, sentence):
    with pytest.raises(BadValue, match=sentence):
        told(revision, person(episode), **wrong)
    assert CueSheetFiling.objects.count() == 0


def test_same_revision_is_filed_once_with_each(episode, revision):
    told(revision, person(episode))
    with pytest.raises(BadRow, match="filed with the society already"):
        told(revision, person(episode))
    assert told(revision, person(episode), society=Society.objects.get(code="010")).whom == "ASCAP"


@pytest.mark.parametrize("role", ["composer", "finance", "viewer"])
def test_role_that_may_not_file_is_refused(episode, revision, role):
    with pytest.raises(NotAllowed):
        told(revision, person(episode, role))


def test_stranger_sees_no_filing(episode, revision):
    filing, stranger = told(revision, person(episode)), UserFactory()
    for deed in (lambda: told(revision, stranger), lambda: filing_for(stranger, filing.pk)):
        with pytest.raises(NotVisible):
            deed()
    assert list(filings_for(stranger)) == []
    with pytest.raises(NotVisible):
        filing_for(person(episode), filing.pk + 1)


def test_filing_is_taken_back_with_its_reason_and_can_be_made_again(episode, revision):
    by = person(episode)
    withdraw_filing(filing=told(revision, by), by=by, now=NOW, reason="wrong society")
    entry = AuditEntry.objects.latest("pk")
    assert (entry.verb, entry.note) == ("took back a filing of", "wrong society")
    assert filing_of(episode, TODAY).state is FilingState.TO_FILE
    filing = told(revision, by)
    assert list(filings_for(by)) == [filing]


def test_filing_is_taken_back_once(episode, revision):
    by = person(episode)
    filing = withdraw_filing(filing=told(revision, by), by=by, now=NOW)
    with pytest.raises(Conflict, match="taken back already"):
        withdraw_filing(filing=filing, by=by, now=NOW)


def test_filing_taken_back_stands_again_once(episode, revision):
    by = person(episode)
    filing = withdraw_filing(filing=told(revision, by), by=by, now=NOW)
    viewer = person(episode, "viewer")
    with pytest.raises(NotAllowed):
        restore_filing(filing=filing, by=viewer, now=NOW)
    kept = restore_filing(filing=filing, by=by, now=NOW)
    assert list(filings_for(by)) == [kept]
    with pytest.raises(Conflict, match="is not taken back"):
        restore_filing(filing=filing, by=by, now=NOW)


def test_filing_made_again_keeps_the_old_one_taken_back(episode, revision):
    by = person(episode)
    filing = withdraw_filing(filing=told(revision, by), by=by, now=NOW)
    again = told(revision, by)
    with pytest.raises(Conflict, match="again already"):
        restore_filing(filing=filing, by=by, now=NOW)
    assert list(filings_for(by)) == [again]


def test_filed_sheet_that_was_amended_says_so(episode, revision):
    by = person(episode)
    told(revision, by)
    Episode.objects.filter(pk=episode.pk).update(title="High Water")
    issue_cue_sheet(episode=Episode.objects.get(pk=episode.pk), by=by, now=NOW)
    found = filing_of(episode, TODAY)
    assert (found.state, found.latest.number, [filed.revision.number for filed in found.filings]) == (
        FilingState.AMENDED,
        2,
        [1],
    )


# --- issuing by a profile and with errors -------------------------------------------------------------------------


def test_sheet_is_issued_by_the_profile_asked_for_and_keeps_it(episode):
    revision = issue_cue_sheet(
        episode=episode, by=person(episode), now=NOW, profile="european-practice", override_reason="no broadcast yet"
    )
    sheet = sheet_of(revision)
    assert (revision.profile, sheet.set_by.code, sheet.share_basis) == ("european-practice", "european-practice", "100")


def test_another_profile_makes_another_revision(episode, revision):
    Episode.objects.filter(pk=episode.pk).update(air_date=TODAY)
    episode.season.production.network = "Nine"
    episode.season.production.save()
    again = Episode.objects.get(pk=episode.pk)
    second = issue_cue_sheet(episode=again, by=person(episode), now=NOW, profile="european-practice")
    assert (revision.profile, second.number, second.profile) == ("international", 2, "european-practice")


def test_unknown_profile_is_refused(episode):
    with pytest.raises(NotVisible, match="no cue-sheet profile “moon”"):
        issue_cue_sheet(episode=episode, by=person(episode), now=NOW, profile="moon")


def test_supervisor_issues_with_errors_and_the_reason_stays(episode):
    WorkShare.objects.filter(interest="writer").update(performance=50)
    by = person(episode)
    revision = issue_cue_sheet(episode=episode, by=by, now=NOW, override_reason="  the society\n waits ")
    assert revision.override_reason == "the society waits"
    assert [error["level"] for error in revision.overridden] == ["error", "error"]
    entry = AuditEntry.objects.latest("pk")
    assert (entry.verb, entry.note) == ("issued with errors the cue sheet of", "the society waits")
    assert "1M1 Evening Tide, writers" in entry.after["errors"][0]


def test_coordinator_may_not_issue_with_errors(episode):
    WorkShare.objects.filter(interest="writer").update(performance=50)
    with pytest.raises(NotAllowed, match="issue cue sheets with errors"):
        issue_cue_sheet(episode=episode, by=person(episode, "coordinator"), now=NOW, override_reason="in a hurry")


def test_reason_without_errors_is_not_kept(episode):
    revision = issue_cue_sheet(episode=episode, by=person(episode, "coordinator"), now=NOW, override_reason="just so")
    assert (revision.override_reason, revision.overridden) == ("", [])


def test_reason_that_is_too_long_is_refused(episode):
    WorkShare.objects.filter(interest="writer").update(performance=50)
    with pytest.raises(BadValue) as refused:
        issue_cue_sheet(episode=episode, by=person(episode), now=NOW, override_reason="x" * 501)
    assert refused.value.place == "override_reason"
