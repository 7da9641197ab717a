"""Cue-sheet profiles: those of the house, and copies that people changed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import path, reverse
from django.utils import timezone
from django.utils.text import capfirst
from django.views.decorators.http import require_POST, require_safe

from supervision.actions import cue_sheet_profiles as deeds
from supervision.models import CueSheetProfile
from supervision.queries.accounts import may_anywhere, require_anywhere
from supervision.queries.cue_sheet_profiles import (
    HOUSE_CODE,
    known_profile,
    own_profile,
    profiles,
    said_by_the_house,
)
from supervision.rules.cue_sheet_profile import SheetProfile, Situation, UseCode
from supervision.rules.roles import Deed
from supervision.rules.sentence import joined, say, say_as
from supervision.web.forms.cue_sheet_profiles import ProfileForm
from supervision.web.language import tell
from supervision.web.person import PersonRequest
from supervision.web.submit import page, submitted
from supervision.web.undo import undoable, undone

_CRUMBS = ((say("Cue-sheet profiles"), "cue-sheet-profiles"),)


def _crumbs() -> list[tuple[str, str]]:
    return [(label, reverse(name)) for label, name in _CRUMBS]


@require_safe
def list_profiles(request: PersonRequest) -> HttpResponse:
    """Every profile with what tells it from the others."""
    context = {
        "title": say("Cue-sheet profiles"),
        "profiles": profiles(),
        "may_manage": may_anywhere(request.user, Deed.MANAGE),
    }
    return render(request, "cue_sheets/profiles.html", context)


@require_safe
def show_profile(request: PersonRequest, slug: str) -> HttpResponse:
    """A profile, with everything it says."""
    known = known_profile(slug)
    context = {
        "title": said_by_the_house(known.profile.name),
        "crumbs": _crumbs(),
        "known": known,
        "profile": known.profile,
        "facts": profile_facts(known.profile),
        "may_manage": may_anywhere(request.user, Deed.MANAGE),
    }
    return render(request, "cue_sheets/profile.html", context)


def new_profile(request: PersonRequest) -> HttpResponse:
    """Copy a profile (``?copy=``, the house's by default) and change the copy."""
    require_anywhere(request.user, Deed.MANAGE)
    copied = known_profile(request.GET.get("copy", HOUSE_CODE)).profile
    start = replace(
        copied,
        code=f"own-{copied.code}"[:24].rstrip("-"),
        name=tell(say("{name}, changed", name=said_by_the_house(copied.name)))[:80],
        description=tell(said_by_the_house(copied.description)),
    )
    form = ProfileForm(request.POST or None, initial=ProfileForm.initial_of(_with_codes(start)))
    if done := submitted(form, lambda _: deeds.add_profile(profile=form.told(), by=request.user, now=timezone.now())):
        messages.success(request, say("{name} is added.", name=str(done)))
        return redirect("cue-sheet-profile", done.code)
    context = {
        "title": say("New profile"),
        "crumbs": _crumbs(),
        "form": form,
        "copied": copied,
        "submit": say("Add the profile"),
    }
    return page(request, "cue_sheets/profile_form.html", context, form)


def edit_profile(request: PersonRequest, slug: str) -> HttpResponse:
    """Change a profile that people made."""
    require_anywhere(request.user, Deed.MANAGE)
    row, profile = own_profile(slug)
    initial = ProfileForm.initial_of(_with_codes(profile)) | {"version": row.version}
    form = ProfileForm(request.POST or None, initial=initial)
    if done := submitted(
        form,
        lambda data: deeds.change_profile(
            row=row, profile=form.told(), version=data["version"], by=request.user, now=timezone.now()
        ),
    ):
        messages.success(
            request, say("{name} is saved. Sheets issued before keep the profile they were set by.", name=str(done))
        )
        return redirect("cue-sheet-profile", done.code)
    context = {"title": say("Change the profile"), "crumbs": _crumbs(), "form": form, "submit": say("Save")}
    return page(request, "cue_sheets/profile_form.html", context, form)


@require_POST
def remove(request: PersonRequest, slug: str) -> HttpResponse:
    """Take away a profile that people made."""
    require_anywhere(request.user, Deed.MANAGE)
    row, _ = own_profile(slug)
    deeds.remove_profile(row=row, by=request.user, now=timezone.now())
    told = say("{name} is removed; what had chosen it goes by its production’s profile or the house’s.", name=str(row))
    undoable(request, told, reverse("cue-sheet-profile-restore", args=[row.pk]))
    return redirect("cue-sheet-profiles")


@require_POST
def restore(request: PersonRequest, pk: int) -> HttpResponse:
    """Bring a removed profile back."""
    require_anywhere(request.user, Deed.MANAGE)
    row = get_object_or_404(CueSheetProfile, pk=pk)
    told, where = say("{row} is back.", row=str(row)), reverse("cue-sheet-profiles")
    return undone(request, deeds.restore_profile, told, where, row=row)


def _with_codes(profile: SheetProfile) -> SheetProfile:
    """The profile with its whole table of codes, so that it can be changed."""
    return profile if profile.codes else replace(profile, codes=tuple(UseCode(one, one, "") for one in Situation))


_LANGUAGES: Mapping[str, str] = {"en": say("English"), "fr": say("French")}


def profile_facts(profile: SheetProfile) -> list[tuple[str, str]]:
    """Everything a profile says, as terms and texts."""
    yes = {True: say_as("on a cue sheet", "Listed"), False: say_as("on a cue sheet", "Not listed")}
    each, rolled = say_as("commissioned cues", "Each"), say("Rolled up where parties, shares and use are the same")
    return [
        (
            say("Shares"),
            say(
                "{basis} ({total} %)", basis=capfirst(tell(profile.share_basis.label)), total=profile.share_basis.value
            ),
        ),
        (say("Commissioned cues"), rolled if profile.roll_up else each),
        (say("Times"), say("In, out and duration") if profile.in_out else say("Duration only")),
        (say("Logos"), yes[profile.logos]),
        (say("Promos"), yes[profile.promos]),
        (say("A theme counts as one"), profile.themes.label),
        (say("Where cues sound at once"), profile.carving.label),
        (say("Seconds"), capfirst(tell(profile.rounding.label))),
        (say("Recording"), profile.recordings.label),
        (say("Identifiers"), joined((one.label for one in profile.identifiers), between=", ")),
        (say("Paper, language"), joined([profile.page.label, _LANGUAGES[profile.language]], between=", ")),
        (say_as("of a cue sheet", "Filed"), capfirst(tell(profile.filing.text))),
        (say("Demanded"), joined((one.label for one in profile.demands), between=", ")),
    ]


urlpatterns = [
    path("cue-sheet-profiles/", list_profiles, name="cue-sheet-profiles"),
    path("cue-sheet-profiles/new/", new_profile, name="cue-sheet-profile-new"),
    path("cue-sheet-profiles/<slug:slug>/", show_profile, name="cue-sheet-profile"),
    path("cue-sheet-profiles/<slug:slug>/edit/", edit_profile, name="cue-sheet-profile-edit"),
    path("cue-sheet-profiles/<slug:slug>/remove/", remove, name="cue-sheet-profile-remove"),
    path("cue-sheet-profiles/removed/<int:pk>/restore/", restore, name="cue-sheet-profile-restore"),
]
