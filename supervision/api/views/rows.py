"""What viewsets of rows share: a signed-in caller, and no PUT, since an edit tells only what it changes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from rest_framework.mixins import CreateModelMixin, ListModelMixin, RetrieveModelMixin, UpdateModelMixin
from rest_framework.viewsets import GenericViewSet

from supervision.api.person import PersonRequest


class PersonViewSet(GenericViewSet[Any]):
    """A viewset of somebody who is signed in."""

    request: PersonRequest
    http_method_names: Sequence[str] = ("get", "post", "patch", "delete", "head", "options")


class RowViewSet(ListModelMixin, RetrieveModelMixin, CreateModelMixin, UpdateModelMixin, PersonViewSet):
    """List, read, create and edit."""
