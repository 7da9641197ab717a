"""Members of a production and their roles."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.urls import path, reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from supervision.actions import productions as deeds
from supervision.models import Membership, User
from supervision.queries.accounts import allows, member_for, members_of
from supervision.queries.productions import production_for
from supervision.queries.removed_rows import removed_for
from supervision.rules.errors import Conflict
from supervision.rules.roles import Deed, Role
from supervision.rules.sentence import say
from supervision.web.forms.productions import MemberForm
from supervision.web.navigation import production_page
from supervision.web.person import PersonRequest
from supervision.web.submit import page, submitted
from supervision.web.undo import undoable, undone


def list_members(request: PersonRequest, code: str) -> HttpResponse:
    """Who is in the production, and the form to admit or change somebody."""
    production = production_for(request.user, code)
    form = MemberForm(request.POST or None)
    if done := submitted(
        form,
        lambda data: deeds.admit_member(
            production=production, user=data["user"], role=Role(data["role"]), by=request.user, now=timezone.now()
        ),
    ):
        messages.success(
            request, say("{person} is {role} now.", person=str(done.user), role=Role(done.role).label.lower())
        )
        return redirect("production-members", production.code)
    context = production_page(production, "members") | {
        "title": say("Members"),
        "members": members_of(production),
        "form": form,
        "may_manage": allows(production, request.user, Deed.MANAGE),
        "roles": [(role.label, role.deeds_in_words) for role in Role],
    }
    return page(request, "productions/members.html", context, form)


@require_POST
def remove_member(request: PersonRequest, pk: int) -> HttpResponse:
    """Take a membership away."""
    membership = member_for(request.user, pk)
    try:
        line = deeds.remove_member(membership=membership, by=request.user, now=timezone.now())
    except Conflict as refused:
        messages.error(request, str(refused))
    else:
        told = say("{person} is no longer a member.", person=str(membership.user))
        if membership.user == request.user:  # the production is out of their sight, and so is a way back
            messages.success(request, told)
            return redirect("production-list")
        undoable(request, told, reverse("member-restore", args=[line.pk]))
    return redirect("production-members", membership.production.code)


@require_POST
def restore_member(request: PersonRequest, pk: int) -> HttpResponse:
    """Give somebody the membership back; ``pk`` is the line of the audit that keeps it."""
    line, production = removed_for(request.user, pk, Membership, Deed.MANAGE)
    person = User.objects.filter(pk=line.before.get("user_id")).first()
    told = say("{row} is back.", row=str(person or line.label))
    where = reverse("production-members", args=[production.code])
    return undone(request, deeds.bring_member_back, told, where, removed=line)


urlpatterns = [
    path("productions/<slug:code>/members/", list_members, name="production-members"),
    path("members/<int:pk>/remove/", remove_member, name="member-remove"),
    path("members/removed/<int:pk>/restore/", restore_member, name="member-restore"),
]
