"""The one Django app of the house."""

from django.apps import AppConfig

from supervision.rules.sentence import tell_by


class SupervisionConfig(AppConfig):
    """Music supervision: the app that holds every table."""

    name = "supervision"
    verbose_name = "Music supervision"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Let pages tell the sentences of the rules in their reader's language."""
        from supervision.web.language import tell  # noqa: PLC0415 - the web layer waits until Django is set up

        tell_by(tell)
