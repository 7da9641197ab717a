"""The demo's people: one for each role, and one who keeps the reference data."""

from __future__ import annotations

from typing import Any

from supervision.models import User


def load_people(told: dict[str, Any]) -> dict[str, User]:
    """The people by sign-in name; those who are missing are made with the demo's password."""
    people = {}
    for person in told["people"]:
        user, made = User.objects.get_or_create(username=person["username"], defaults=person)
        if made:
            user.set_password(told["password"])
            user.save()
        people[user.username] = user
    return people
