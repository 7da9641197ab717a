"""A request of somebody who is signed in."""

from __future__ import annotations

from rest_framework.request import Request

from supervision.models import User


class PersonRequest(Request):
    """What every API view but the token's gets: ``IsAuthenticated`` lets nobody else through."""

    user: User
