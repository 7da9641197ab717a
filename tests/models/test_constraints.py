"""Every constraint of the tables holds in the database itself: each is broken once, past all forms and actions."""

from datetime import date
from uuid import uuid4

import pytest
from django.apps import apps
from django.db import IntegrityError, connection, models, transaction
from django.utils import timezone

from supervision.models import (
    AskTemplate,
    BudgetLine,
    Candidate,
    Clearance,
    CreditTerm,
    CueSheetFiling,
    CueSheetProfile,
    CueSheetReading,
    CueSheetRevision,
    ExchangeRate,
    Grant,
    Letter,
    LibraryAgreement,
    Licence,
    Option,
    QuoteCondition,
    ReleaseWindow,
    RememberedMapping,
    Society,
)
from supervision.rules.clearance import Side, Stage
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.catalogue import (
    PartyFactory,
    RecordingFactory,
    RecordingShareFactory,
    WorkFactory,
    WorkShareFactory,
)
from tests.factories.clearance import ClearanceFactory, QuoteFactory
from tests.factories.imports import CutImportFactory
from tests.factories.productions import CutFactory, EpisodeFactory, ProductionFactory, SeasonFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db
NOW = timezone.make_aware(timezone.datetime(2026, 11, 25, 12))
DAY = date(2026, 11, 25)


def again(row, **changes):
    """Save a copy of the row as a new one."""
    row.pk = None
    row._state.adding = True
    for name, value in changes.items():
        setattr(row, name, value)
    row.save()


def update(row, **changes):
    """Change the row in the database, past its model."""
    type(row)._default_manager.filter(pk=row.pk).update(**changes)


def licence(**fields):
    clearance = ClearanceFactory()
    given = {
        "clearance": clearance,
        "number": "L-1",
        "executed_on": DAY,
        "fee_minor": 1,
        "currency": "USD",
        "recorded_by": UserFactory(),
    }
    return Licence.objects.create(**given | fields)


def letter(side, **fields):
    return Letter.objects.create(
        episode=EpisodeFactory(),
        holder=PartyFactory(),
        side=side,
        reference="R-1",
        sent_at=NOW,
        sent_by=UserFactory(),
        payload={},
        digest="0" * 64,
        **fields,
    )


def revision():
    episode = EpisodeFactory()
    return CueSheetRevision.objects.create(
        episode=episode,
        cut=episode.current_cut,
        number=1,
        issued_at=NOW,
        issued_by=UserFactory(),
        payload={},
        digest="0" * 64,
    )


def rate(**fields):
    given = {"production": ProductionFactory(), "base": "GBP", "quote": "USD", "rate": "1.3", "on": DAY}
    return ExchangeRate.objects.create(**given | fields)


def line(**fields):
    return BudgetLine.objects.create(**{"season": SeasonFactory(), "category": "sync", "amount_minor": 1} | fields)


def episode_line():
    episode = EpisodeFactory()
    return line(season=episode.season, episode=episode)


def placed():
    usage = UsageFactory(placed=(900_000, 900_100))
    return usage.placements.get()


def recorded():
    work = WorkFactory()
    return RecordingFactory(works=[work]).recorded_works.get()


def remembered(**changes):
    """The columns that a production remembers."""
    told = {"kind": "song_log", "fingerprint": "a" * 64, "headings": ["Title"], "mapping": {}} | changes
    return RememberedMapping.objects.create(production=ProductionFactory(), **told)


def sheet_reading(**fields):
    given = {"episode": EpisodeFactory(), "file_name": "sheet.json", "reading": {}, "made_at": NOW}
    return CueSheetReading.objects.create(**given | {"made_by": UserFactory()} | fields)


BROKEN = {
    "membership_once": lambda: again(MembershipFactory()),
    "membership_role_known": lambda: MembershipFactory(role="owner"),
    "society_code_three_digits": lambda: Society.objects.create(code="1A", name="Nobody"),
    "party_ipi_once": lambda: again(PartyFactory(ipi="00014107338")),
    "party_ipi_digits": lambda: PartyFactory(ipi="14107338"),
    "party_named": lambda: PartyFactory(name=""),
    "work_iswc_once": lambda: again(WorkFactory(iswc="T0345246801")),
    "work_iswc_shape": lambda: WorkFactory(iswc="T-034.524"),
    "work_titled": lambda: WorkFactory(title=""),
    "work_not_arranged_from_itself": lambda: update(WorkFactory(), arrangement_of=models.F("pk")),
    "work_share_once": lambda: again(WorkShareFactory()),
    "work_share_performance_percent": lambda: WorkShareFactory(performance="100.000001"),
    "work_share_control_percent": lambda: WorkShareFactory(control="-1"),
    "work_share_role_of_interest": lambda: WorkShareFactory(interest="writer", role="E"),
    "recording_isrc_once": lambda: again(RecordingFactory(isrc="USSKG1912345")),
    "recording_isrc_shape": lambda: RecordingFactory(isrc="US-SKG-19-1"),
    "recording_titled": lambda: RecordingFactory(title=""),
    "recording_work_once": lambda: again(recorded()),
    "recording_share_once": lambda: again(RecordingShareFactory()),
    "recording_share_percent": lambda: RecordingShareFactory(share="101"),
    "production_code_shape": lambda: ProductionFactory(code="the weir"),
    "production_kind_known": lambda: ProductionFactory(kind="opera"),
    "production_currency_iso": lambda: ProductionFactory(currency="usd"),
    "season_number_once": lambda: again(SeasonFactory()),
    "episode_number_once": lambda: again(EpisodeFactory(), code="OTHER-1"),
    "episode_code_shape": lambda: EpisodeFactory(code="ep 1"),
    "cut_number_once": lambda: again(CutFactory()),
    "cut_rate_known": lambda: CutFactory(rate="29"),
    "cut_runs": lambda: CutFactory(running_frames=0),
    "cut_drop_only_at_ntsc_rates": lambda: CutFactory(rate="25", drop=True),
    "usage_cue_number_once": lambda: again(UsageFactory()),
    "usage_sending_once": lambda: again(UsageFactory(sending=uuid4()), cue_number="9M9"),
    "usage_recording_or_work": lambda: UsageFactory(work=WorkFactory(), recording=RecordingFactory()),
    "usage_function_known": lambda: UsageFactory(function="noise"),
    "usage_vocal_known": lambda: UsageFactory(vocal="hummed"),
    "usage_origin_known": lambda: UsageFactory(origin="found"),
    "usage_position_only_of_theme": lambda: UsageFactory(theme_position="opening"),
    "usage_on_screen_is_seen": lambda: UsageFactory(function="on_screen", seen=False),
    "usage_estimate_has_currency": lambda: UsageFactory(sync_estimate_minor=1),
    "placement_once_a_cut": lambda: again(placed()),
    "placement_out_after_in": lambda: UsageFactory(placed=(900_100, 900_100)),
    "clearance_once_a_holder": lambda: again(ClearanceFactory()),
    "clearance_side_known": lambda: ClearanceFactory(side="both"),
    "clearance_stage_known": lambda: ClearanceFactory(stage=35),
    "clearance_share_percent": lambda: ClearanceFactory(share=0),
    "clearance_of_work_or_recording": lambda: ClearanceFactory(side=Side.MASTER),
    "clearance_unknown_holder_not_asked": lambda: ClearanceFactory(holder=None, stage=Stage.REQUESTED),
    "clearance_quoted_has_quote": lambda: ClearanceFactory(stage=Stage.QUOTED),
    "quote_currency_iso": lambda: QuoteFactory(currency="usd"),
    "quote_basis_known": lambda: QuoteFactory(basis="half"),
    "quote_valid_after_received": lambda: QuoteFactory(valid_until=date(2026, 11, 1)),
    "quote_payable_within_amount": lambda: QuoteFactory(payable_minor=500_001),
    "credit_term_approved_by_and_on": lambda: CreditTerm.objects.create(
        clearance=ClearanceFactory(), approved_by="Ida"
    ),
    "sheet_reading_ours_or_mapped": lambda: sheet_reading(reading=None),
    "sheet_reading_state_known": lambda: sheet_reading(state="lost"),
    "licence_in_force_once": lambda: again(licence()),
    "licence_currency_iso": lambda: licence(currency="$"),
    "licence_numbered": lambda: licence(number=""),
    "grant_ends_after_start": lambda: Grant.objects.create(licence=licence(), starts_on=DAY, ends_on=DAY),
    "budget_line_once_a_season": lambda: again(line()),
    "budget_line_once_an_episode": lambda: again(episode_line()),
    "budget_line_category_known": lambda: line(category="travel"),
    "exchange_rate_once_a_day": lambda: again(rate()),
    "exchange_rate_between_currencies": lambda: rate(quote="GBP"),
    "exchange_rate_positive": lambda: rate(rate=0),
    "letter_side_known": lambda: letter("both"),
    "cue_sheet_number_once": lambda: again(revision()),
}


def option(**fields):
    given = {
        "quote": QuoteFactory(),
        "media": "theatrical",
        "starts_on": DAY,
        "amount_minor": 1,
        "payable_minor": 1,
        "currency": "USD",
    }
    return Option.objects.create(**given | fields)


def agreement(**fields):
    given = {
        "production": ProductionFactory(),
        "party": PartyFactory(),
        "number": "A-1",
        "starts_on": DAY,
        "fee_minor": 1,
        "currency": "USD",
    }
    return LibraryAgreement.objects.create(**given | fields)


def template(**fields):
    given = {"production": ProductionFactory(), "side": "sync", "media": "all media"}
    return AskTemplate.objects.create(**given | fields)


def candidate(**fields):
    return Candidate.objects.create(**{"usage": UsageFactory(), "title": "Slow waltz"} | fields)


def window(**fields):
    given = {"season": SeasonFactory(), "media": "svod", "territory": "World", "starts_on": DAY}
    return ReleaseWindow.objects.create(**given | fields)


def condition(**fields):
    return QuoteCondition.objects.create(**{"quote": QuoteFactory(), "kind": "artist"} | fields)


def filing(**fields):
    given = {"revision": revision(), "recipient": "Channel Nine and a Half", "filed_on": DAY, "filed_by": UserFactory()}
    return CueSheetFiling.objects.create(**given | fields)


def own_profile(code="north-sea"):
    return CueSheetProfile.objects.create(code=code, name="North Sea", body={})


def society_filing():
    return filing(recipient="", society=Society.objects.get(code="052"))


BROKEN |= {
    "remembered_mapping_once": lambda: again(remembered()),
    "remembered_mapping_kind_known": lambda: remembered(kind="recipe"),
    "remembered_mapping_fingerprint": lambda: remembered(fingerprint="ab"),
}
BROKEN |= {
    "cut_made_for_known": lambda: CutFactory(made_for="school"),
    "filing_means_known": lambda: filing(means="pigeon"),
    "filing_once_a_recipient": lambda: again(filing()),
    "filing_once_a_society": lambda: again(society_filing()),
    "filing_with_one": lambda: filing(recipient=""),
    "production_type_known": lambda: ProductionFactory(production_type="opera"),
    "sheet_profile_code_once": lambda: again(own_profile()),
    "sheet_profile_code_shape": lambda: own_profile("North Sea"),
    "usage_part_known": lambda: UsageFactory(part="coda"),
    "ask_template_once_a_side": lambda: again(template()),
    "ask_template_side_known": lambda: template(side="both"),
    "candidate_difficulty_known": lambda: candidate(difficulty=4),
    "candidate_estimate_has_currency": lambda: candidate(sync_estimate_minor=1),
    "candidate_named": lambda: candidate(title=""),
    "candidate_outcome_known": lambda: candidate(outcome="lost"),
    "candidate_recording_or_work": lambda: candidate(work=WorkFactory(), recording=RecordingFactory()),
    "cut_import_decided_when_closed": lambda: CutImportFactory(state="accepted"),
    "cut_import_draft_once": lambda: again(CutImportFactory()),
    "cut_import_file_has_hash": lambda: CutImportFactory(file_sha256="none"),
    "cut_import_kind_known": lambda: CutImportFactory(kind="poem"),
    "cut_import_state_known": lambda: CutImportFactory(state="lost", decided_at=NOW),
    "clearance_offer_has_currency": lambda: ClearanceFactory(offered_minor=1),
    "letter_kind_known": lambda: letter("sync", kind="postcard"),
    "library_agreement_currency_iso": lambda: agreement(currency="$"),
    "library_agreement_ends_after_start": lambda: agreement(ends_on=DAY),
    "library_agreement_once": lambda: again(agreement()),
    "library_agreement_per_known": lambda: agreement(per="year"),
    "licence_file_has_hash": lambda: licence(file="licences/a.pdf"),
    "licence_paid_after_invoice": lambda: licence(paid_on=DAY),
    "option_currency_iso": lambda: option(currency="$"),
    "option_ends_after_start": lambda: option(ends_on=DAY),
    "option_exercised_in_time": lambda: option(exercised_on=DAY, exercisable_until=date(2026, 11, 24)),
    "option_kind_known": lambda: option(kind="radio"),
    "quote_condition_kind_known": lambda: condition(kind="weather"),
    "quote_condition_once": lambda: again(condition()),
    "quote_favoured_scope": lambda: QuoteFactory(favoured_with="side"),
    "quote_kind_known": lambda: QuoteFactory(kind="rumour"),
    "release_window_ends_after_start": lambda: window(ends_on=DAY),
    "usage_likelihood_percent": lambda: UsageFactory(likelihood=101),
}


def constraints():
    found = (model._meta.constraints for model in apps.get_app_config("supervision").get_models())
    return {constraint.name: constraint for listed in found for constraint in listed}


def test_every_constraint_is_broken_here():
    assert set(BROKEN) == set(constraints())


def test_every_constraint_is_worded():
    silent = [
        name for name, constraint in constraints().items() if "violated" in str(constraint.violation_error_message)
    ]
    assert silent == []


# No row breaks these alone, and PostgreSQL names the other one that the row breaks.
BROKEN_WITH = {
    "clearance_side_known": "clearance_of_work_or_recording",
}


@pytest.mark.parametrize("name", sorted(BROKEN))
def test_broken_constraint_is_refused_by_the_database(name):
    with pytest.raises(IntegrityError) as refused, transaction.atomic():
        BROKEN[name]()
    plain_unique = isinstance(constraints()[name], models.UniqueConstraint) and connection.vendor == "sqlite"
    # SQLite names the columns of a plain unique constraint, and the constraint itself everywhere else.
    named = (name, BROKEN_WITH.get(name, name)) if connection.vendor == "postgresql" else (name,)
    assert any(word in str(refused.value) for word in named) or (plain_unique and "UNIQUE" in str(refused.value))


def test_removed_party_frees_its_ipi():
    PartyFactory(ipi="00014107338", deleted_at=NOW)
    assert PartyFactory(ipi="00014107338").pk


def test_retired_clearance_makes_room_for_a_new_one():
    first = ClearanceFactory(retired_at=NOW)
    again(first, retired_at=None)
    assert Clearance.objects.count() == 2


def test_withdrawn_licence_makes_room_for_a_new_one():
    first = licence(withdrawn_at=NOW)
    again(first, withdrawn_at=None)
    assert Licence.objects.count() == 2
