"""What people do to their calendar feeds: make one, revoke one."""

from __future__ import annotations

import hashlib
import secrets
from datetime import datetime

from django.db import transaction

from supervision.actions.rows import audited
from supervision.models import CalendarFeed, User
from supervision.rules.errors import NotVisible
from supervision.rules.sentence import say


def digest_of(secret: str) -> str:
    """What is kept of a feed's secret."""
    return hashlib.sha256(secret.encode()).hexdigest()


@transaction.atomic
def make_feed(*, by: User, now: datetime) -> tuple[CalendarFeed, str]:
    """Make a feed and return it with its secret, which is told this once."""
    secret = secrets.token_urlsafe(32)
    feed = CalendarFeed.objects.create(user=by, secret_sha256=digest_of(secret), made_at=now)
    audited("made", feed, by=by, now=now)
    return feed, secret


@transaction.atomic
def revoke_feed(*, feed: CalendarFeed, by: User, now: datetime) -> None:
    """End a feed of one's own: its address answers 404 from now on."""
    if feed.user_id != by.pk:
        raise NotVisible("feed-unknown", say("There is no such calendar feed."))
    feed.revoked_at = now
    feed.save(update_fields=["revoked_at"])
    audited("revoked", feed, by=by, now=now)
