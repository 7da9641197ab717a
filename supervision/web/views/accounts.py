"""Signing in and out, and the language of the pages."""

from __future__ import annotations

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.views import LoginView, LogoutView
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import path
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST

from supervision.actions.accounts import check_language, choose_language
from supervision.models import User


@login_not_required
@require_POST
def language(request: HttpRequest) -> HttpResponse:
    """Turn the pages to the chosen language: a person's for good, a stranger's in this browser."""
    chosen = check_language(request.POST.get("language", ""))
    if isinstance(request.user, User):
        choose_language(person=request.user, language=chosen)
    back = request.POST.get("back", "")
    safe = url_has_allowed_host_and_scheme(back, {request.get_host()}, require_https=request.is_secure())
    response = redirect(back if safe else "home")
    response.set_cookie(
        settings.LANGUAGE_COOKIE_NAME, chosen, max_age=365 * 24 * 3600, samesite="Lax", secure=settings.HTTPS
    )
    return response


urlpatterns = [
    path("sign-in/", LoginView.as_view(template_name="sign_in.html", redirect_authenticated_user=True), name="sign-in"),
    path("sign-out/", LogoutView.as_view(), name="sign-out"),
    path("language/", language, name="language"),
]
