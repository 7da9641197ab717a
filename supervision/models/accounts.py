"""People: who signs in, and what they are in each production."""

from __future__ import annotations

from django.contrib.auth.models import AbstractUser
from django.db import models

from supervision.models.rows import choices_of, one_of
from supervision.rules.roles import Role
from supervision.rules.sentence import say


class User(AbstractUser):
    """Somebody who signs in."""

    language = models.CharField(max_length=10, blank=True, editable=False)

    def __str__(self) -> str:
        return self.get_full_name() or self.username


class Membership(models.Model):
    """A person's role in a production; without one the production does not exist for them."""

    production = models.ForeignKey("supervision.Production", on_delete=models.CASCADE, related_name="memberships")
    user = models.ForeignKey(User, on_delete=models.CASCADE, related_name="memberships")
    role = models.CharField(max_length=12, choices=choices_of(Role))

    class Meta:
        ordering = ("production", "user")
        constraints = (
            models.UniqueConstraint(
                fields=("production", "user"),
                name="membership_once",
                violation_error_message=say("This person is a member of the production already."),
            ),
            models.CheckConstraint(
                condition=one_of("role", Role),
                name="membership_role_known",
                violation_error_message=say("There is no such role."),
            ),
        )

    def __str__(self) -> str:
        return f"{self.user_id} {self.role}"
