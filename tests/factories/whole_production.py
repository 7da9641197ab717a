"""A production with a row in every table that travels: the demo's, and what the demo has no use for."""

import hashlib
import io
from dataclasses import replace

from django.apps import apps
from django.core.management import call_command
from django.utils import timezone

from supervision.models import (
    Clearance,
    CreditTerm,
    CueSheetFiling,
    CueSheetProfile,
    CueSheetRevision,
    Production,
    RememberedMapping,
    Society,
    Usage,
)
from supervision.rules.cue_sheet_profile import FIRST
from supervision.rules.cue_sheet_setting import issued, set_sheet
from supervision.rules.frozen import digest, to_plain
from tests.factories.cue_sheets import long_sheet

NOW = timezone.make_aware(timezone.datetime(2026, 11, 26, 12))


def whole_production() -> Production:
    """The demo's series, filled up."""
    call_command("demo", stdout=io.StringIO())
    production = Production.objects.get(code="MARRAM")
    supervisor = production.members.get(username="supervisor")
    profile = CueSheetProfile.objects.create(
        code="north-sea", name="North Sea", body=to_plain(replace(FIRST, code="north-sea"))
    )
    production.sheet_profile = profile.code
    production.save()
    episode = production.seasons.get().episodes.get(code="MARRAM-101")
    payload = to_plain(issued(set_sheet(long_sheet(3)), revision=1, by="Ida Person", on=NOW.date()))
    revision = CueSheetRevision.objects.create(
        episode=episode,
        cut=episode.current_cut,
        number=1,
        issued_at=NOW,
        issued_by=supervisor,
        payload=payload,
        digest=digest(payload),
        profile=profile.code,
    )
    CueSheetFiling.objects.create(
        revision=revision, society=Society.objects.get(code="052"), filed_on=NOW.date(), filed_by=supervisor
    )
    CreditTerm.objects.create(
        clearance=Clearance.objects.filter(usage__episode=episode, credit_term=None).first(), wording="By arrangement"
    )
    RememberedMapping.objects.create(
        production=production,
        kind="song_log",
        fingerprint=hashlib.sha256(b"Title").hexdigest(),
        headings=["Title"],
        mapping={"schema": 1, "columns": ["title"], "times": {}},
    )
    Usage.objects.create(episode=episode, title="=Taken\noff “again” -", deleted_at=NOW)
    return production


def emptied():
    """Take every row away that somebody entered, as on a new installation; what migrations brought stays."""
    for model in apps.get_app_config("supervision").get_models():
        if model is not Society:
            for through in model._meta.many_to_many:
                if through.remote_field.through._meta.auto_created:
                    through.remote_field.through._default_manager.all()._raw_delete("default")
    for model in apps.get_app_config("supervision").get_models():
        if model is not Society:
            model._default_manager.all()._raw_delete("default")
