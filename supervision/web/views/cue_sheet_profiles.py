"""Cue-sheet profiles: those of the house, and copies that people changed."""

from __future__ import annotations

from dataclasses import replace

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import path, reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from supervision.actions import cue_sheet_profiles as deeds
from supervision.queries.accounts import may_anywhere, require_anywhere
from supervision.queries.cue_sheet_profiles import HOUSE_CODE, known_profile, own_profile, profiles
from supervision.rules.cue_sheet_profile import SheetProfile, Situation, UseCode
from supervision.rules.letter_words import Language
from supervision.rules.roles import Deed
from supervision.web.forms.cue_sheet_profiles import ProfileForm
from supervision.web.person import PersonRequest
from supervision.web.submit import page, submitted

_CRUMBS = (("Cue-sheet profiles", "cue-sheet-profiles"),)


def _crumbs() -> list[tuple[str, str]]:
    return [(label, reverse(name)) for label, name in _CRUMBS]


@require_safe
def list_profiles(request: PersonRequest) -> HttpResponse:
    """Every profile with what tells it from the others."""
    context = {
        "title": "Cue-sheet profiles",
        "profiles": profiles(),
        "may_manage": may_anywhere(request.user, Deed.MANAGE),
    }
    return render(request, "cue_sheets/profiles.html", context)


@require_safe
def show_profile(request: PersonRequest, slug: str) -> HttpResponse:
    """A profile, with everything it says."""
    known = known_profile(slug)
    context = {
        "title": known.profile.name,
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
    start = replace(copied, code=f"own-{copied.code}"[:24].rstrip("-"), name=f"{copied.name}, changed"[:80])
    form = ProfileForm(request.POST or None, initial=ProfileForm.initial_of(_with_codes(start)))
    if request.method == "POST" and (
        done := submitted(form, lambda _: deeds.add_profile(profile=form.told(), by=request.user, now=timezone.now()))
    ):
        messages.success(request, f"{done} is added.")
        return redirect("cue-sheet-profile", done.code)
    context = {"title": "New profile", "crumbs": _crumbs(), "form": form, "copied": copied, "submit": "Add the profile"}
    return page(request, "cue_sheets/profile_form.html", context, form)


def edit_profile(request: PersonRequest, slug: str) -> HttpResponse:
    """Change a profile that people made."""
    require_anywhere(request.user, Deed.MANAGE)
    row, profile = own_profile(slug)
    initial = ProfileForm.initial_of(_with_codes(profile)) | {"version": row.version}
    form = ProfileForm(request.POST or None, initial=initial)
    if request.method == "POST" and (
        done := submitted(
            form,
            lambda data: deeds.change_profile(
                row=row, profile=form.told(), version=data["version"], by=request.user, now=timezone.now()
            ),
        )
    ):
        messages.success(request, f"{done} is saved. Sheets issued before keep the profile they were set by.")
        return redirect("cue-sheet-profile", done.code)
    context = {"title": "Change the profile", "crumbs": _crumbs(), "form": form, "submit": "Save"}
    return page(request, "cue_sheets/profile_form.html", context, form)


@require_POST
def remove(request: PersonRequest, slug: str) -> HttpResponse:
    """Take away a profile that people made."""
    require_anywhere(request.user, Deed.MANAGE)
    row, _ = own_profile(slug)
    deeds.remove_profile(row=row, by=request.user, now=timezone.now())
    messages.success(request, f"{row} is removed; what had chosen it goes by its production’s profile or the house’s.")
    return redirect("cue-sheet-profiles")


def _with_codes(profile: SheetProfile) -> SheetProfile:
    """The profile with its whole table of codes, so that it can be changed."""
    return profile if profile.codes else replace(profile, codes=tuple(UseCode(one, one, "") for one in Situation))


def profile_facts(profile: SheetProfile) -> list[tuple[str, str]]:
    """Everything a profile says, as terms and texts."""
    yes = {True: "Listed", False: "Not listed"}
    return [
        ("Shares", f"{profile.share_basis.label.capitalize()} ({profile.share_basis} %)"),
        ("Commissioned cues", "Rolled up where parties, shares and use are the same" if profile.roll_up else "Each"),
        ("Times", "In, out and duration" if profile.in_out else "Duration only"),
        ("Logos", yes[profile.logos]),
        ("Promos", yes[profile.promos]),
        ("A theme counts as one", profile.themes.label),
        ("Where cues sound at once", profile.carving.label),
        ("Seconds", profile.rounding.label.capitalize()),
        ("Recording", profile.recordings.label),
        ("Identifiers", ", ".join(one.label for one in profile.identifiers)),
        ("Paper, language", f"{profile.page.label}, {Language.read(profile.language).label}"),
        ("Filed", profile.filing.text.capitalize()),
        ("Demanded", ", ".join(one.label for one in profile.demands)),
    ]


urlpatterns = [
    path("cue-sheet-profiles/", list_profiles, name="cue-sheet-profiles"),
    path("cue-sheet-profiles/new/", new_profile, name="cue-sheet-profile-new"),
    path("cue-sheet-profiles/<slug:slug>/", show_profile, name="cue-sheet-profile"),
    path("cue-sheet-profiles/<slug:slug>/edit/", edit_profile, name="cue-sheet-profile-edit"),
    path("cue-sheet-profiles/<slug:slug>/remove/", remove, name="cue-sheet-profile-remove"),
]
