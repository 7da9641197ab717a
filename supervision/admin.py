"""Reference data for staff under ``/admin/``: societies, parties with contacts, and users can be edited.

Every edit leaves an audit line, as on the pages. Works and recordings are shown and edited on their pages. What belongs
to a production is not here at all: staff who are no members see nothing of it.
"""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import admin
from django.contrib.auth.admin import UserAdmin
from django.contrib.auth.models import Group
from django.db.models import Model, QuerySet
from django.http import HttpRequest
from django.utils import timezone

from supervision.actions.identifiers import read_identifiers
from supervision.actions.parties import add_party, change_party, told_contacts
from supervision.actions.rows import audited, held, state_of
from supervision.models import (
    Contact,
    Party,
    Recording,
    Society,
    User,
    Work,
)
from supervision.queries.search import found
from supervision.rules.errors import BadValue, StaleEdit
from supervision.rules.identifiers import Scheme
from supervision.web.forms.fields import IdentifierField
from supervision.web.submit import refuse

admin.site.site_header = "Ledger Line: reference data"
admin.site.site_title = "Ledger Line"
admin.site.unregister(Group)  # roles belong to productions, not to groups


class AuditedAdmin(admin.ModelAdmin):
    """Edits that leave an audit line."""

    def save_model(self, request: HttpRequest, obj: Any, form: Any, change: bool) -> None:
        """Save, and write down what differed."""
        before = state_of(type(obj)._default_manager.get(pk=obj.pk)) if change else {}
        super().save_model(request, obj, form, change)
        after = state_of(obj)
        differing = {name for name in after if after[name] != before.get(name)}
        audited(
            "changed" if change else "created",
            obj,
            by=request.user,  # type: ignore[arg-type] # nobody else gets here
            now=timezone.now(),
            before={name: before[name] for name in before if name in differing},
            after={name: after[name] for name in differing},
        )

    def delete_model(self, request: HttpRequest, obj: Model) -> None:
        """Write down what is lost, and delete."""
        audited("deleted", obj, by=request.user, now=timezone.now(), before=state_of(obj))  # type: ignore[arg-type]
        super().delete_model(request, obj)

    def delete_queryset(self, request: HttpRequest, queryset: QuerySet[Any]) -> None:
        """The same for each of several."""
        for row in queryset:
            self.delete_model(request, row)


class ReadOnlyAdmin(admin.ModelAdmin):
    """Rows to look at."""

    def has_add_permission(self, request: HttpRequest) -> bool:  # noqa: ARG002 - Django's signature
        """Nobody adds here."""
        return False

    def has_change_permission(self, request: HttpRequest, obj: Any = None) -> bool:  # noqa: ARG002
        """Nobody edits here."""
        return False

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:  # noqa: ARG002
        """Nobody deletes here."""
        return False


@admin.register(User)
class PersonAdmin(AuditedAdmin, UserAdmin):
    """Who signs in. What they may do in a production is their role there, given on its members' page."""

    list_display = ("username", "first_name", "last_name", "email", "is_active", "is_staff")


@admin.register(Society)
class SocietyAdmin(AuditedAdmin):
    """Societies by CISAC code."""

    list_display = ("code", "name", "country")
    search_fields = ("code", "name")


class PartyAdminForm(forms.ModelForm):
    """A party whose identifiers and version are checked as on its page."""

    ipi = IdentifierField(Scheme.IPI)
    isni = IdentifierField(Scheme.ISNI)
    seen = forms.IntegerField(label="", required=False, widget=forms.HiddenInput)  # the admin knows no field "version"

    class Meta:
        model = Party
        fields = ("name", "kind", "ipi", "isni", "society", "is_ours", "notes", "demo")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.known = Party.objects.filter(pk=self.instance.pk).first() or Party()
        self.initial["seen"] = self.known.version
        for name in ("ipi", "isni"):
            field: Any = self.fields[name]
            field.stored = getattr(self.known, name)

    def clean(self) -> dict[str, Any]:
        """Refuse an identifier that another party has, and an edit of what somebody else changed meanwhile."""
        data = super().clean() or {}
        try:
            read_identifiers(self.known, data)
            if self.known.pk:
                held(self.known, data["seen"])
        except (BadValue, StaleEdit) as refused:
            refuse(self, refused)
        return data


class ContactInline(admin.TabularInline):
    """The contacts of a party."""

    model = Contact
    extra = 1


@admin.register(Party)
class PartyAdmin(admin.ModelAdmin):
    """Parties, saved by the same actions as on their pages; they are deleted there, where it can be undone."""

    form = PartyAdminForm
    inlines = (ContactInline,)
    list_display = ("name", "kind", "society", "ipi", "is_ours", "demo")
    list_filter = ("kind", "is_ours", "demo", "society")
    list_select_related = ("society",)
    search_fields = ("search_key",)

    def get_search_results(
        self, request: HttpRequest, queryset: QuerySet[Party], search_term: str
    ) -> tuple[QuerySet[Party], bool]:
        """Search as everywhere, without regard to case and accents."""
        del request
        return found(queryset, search_term), False

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:  # noqa: ARG002
        """Nobody deletes here."""
        return False

    def save_model(self, request: HttpRequest, obj: Party, form: Any, change: bool) -> None:
        """Add or change the party by its action."""
        fields = dict(form.cleaned_data)
        version = fields.pop("seen")
        told: dict[str, Any] = {"fields": fields, "by": request.user, "now": timezone.now()}
        saved = change_party(party=obj, version=version, **told) if change else add_party(**told)
        obj.pk = saved.pk
        obj.refresh_from_db()

    def save_related(self, request: HttpRequest, form: Any, formsets: Any, change: bool) -> None:
        """Save the contacts, and write down what differed."""
        party: Party = form.instance
        before = told_contacts(list(party.contacts.all()))
        super().save_related(request, form, formsets, change)
        after = told_contacts(list(party.contacts.all()))
        if before != after:
            by: Any = request.user
            audited("set the contacts of", party, by=by, now=timezone.now(), before=before, after=after)


for model, columns in (
    (Work, ("title", "iswc", "public_domain", "demo", "deleted_at")),
    (Recording, ("title", "artist", "isrc", "label", "demo", "deleted_at")),
):
    related = tuple(name for name in columns if model._meta.get_field(name).is_relation)
    options = {"list_display": columns, "list_select_related": related}
    admin.site.register(model, type(f"{model.__name__}Admin", (ReadOnlyAdmin,), options))
