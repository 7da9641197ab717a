"""A request of somebody who is signed in."""

from __future__ import annotations

from django.http import HttpRequest

from supervision.models import User


class PersonRequest(HttpRequest):
    """What every view but the sign-in gets: ``LoginRequiredMiddleware`` lets nobody else through."""

    user: User
