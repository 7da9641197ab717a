"""What people set for themselves."""

from __future__ import annotations

from django.conf import settings

from supervision.models import User
from supervision.rules.errors import BadValue
from supervision.rules.sentence import say


def check_language(language: str) -> str:
    """The language itself; ``BadValue`` when the site has no such language."""
    if language not in dict(settings.LANGUAGES):
        raise BadValue(
            "language-unknown",
            say("The site does not speak “{language}”.", language=language),
            place="language",
            mend=say("Choose one of those at the foot of the page."),
        )
    return language


def choose_language(*, person: User, language: str) -> None:
    """Show every page to the person in a language of the site, on whichever machine. ``BadValue`` for another."""
    person.language = check_language(language)
    person.save(update_fields=["language"])
