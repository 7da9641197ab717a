"""The one Django app of the house."""

from django.apps import AppConfig


class SupervisionConfig(AppConfig):
    """Music supervision: the app that holds every table."""

    name = "supervision"
    verbose_name = "Music supervision"
    default_auto_field = "django.db.models.BigAutoField"
