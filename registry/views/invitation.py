"""Invitations: give one out, withdraw it, take it up."""

from django.contrib import messages
from django.contrib.auth import login
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from registry import access
from registry.actions.accept_invitation import accept_as_new_person, accept_invitation
from registry.actions.invite_person import invite_person, mail_invitation
from registry.actions.withdraw_invitation import withdraw_invitation
from registry.faults import DomainError
from registry.forms.invitation import InvitationForm
from registry.forms.person import NewPersonForm
from registry.models import Invitation

BACKEND = "allauth.account.auth_backends.AuthenticationBackend"


@never_cache
@require_http_methods(["GET", "POST"])
def invitation_add(request: HttpRequest, pk: int) -> HttpResponse:
    """Invite a person into an organisation; the link is shown once and mailed."""
    organisation = access.get_organisation(request.user, pk, to="invite")
    form = InvitationForm(request.POST or None)
    context = {"organisation": organisation, "form": form}
    if not form.is_valid():
        return render(request, "invitation/add.html", context)
    try:
        issued = invite_person(organisation=organisation, by=request.user, **form.cleaned_data)
    except DomainError as refusal:
        form.add_error(None, refusal.message)
        return render(request, "invitation/add.html", context)
    try:
        mail_invitation(issued, by=request.user)
    except OSError as fault:
        context["not_mailed"] = str(fault)
    return render(request, "invitation/given.html", {**context, "issued": issued})


@require_POST
def invitation_withdraw(request: HttpRequest, pk: int) -> HttpResponse:
    """Make an invitation's link useless."""
    invitation = access.get_invitation(request.user, pk)
    try:
        withdraw_invitation(invitation=invitation, by=request.user)
    except DomainError as refusal:
        messages.error(request, refusal.message)
    return redirect("organisation_page", pk=invitation.organisation_id)


@login_not_required
@never_cache
@sensitive_post_parameters("password", "again")
@require_http_methods(["GET", "POST"])
def invitation_accept(request: HttpRequest, token: str) -> HttpResponse:
    """Take up an invitation by its link: as a new person, or signed in as the one invited."""
    invitation = access.find_invitation(token)
    if invitation is None:
        return render(request, "invitation/void.html", status=404)
    if request.user.is_authenticated:
        return _join(request, invitation)
    if access.is_known(invitation.email):
        return render(request, "invitation/sign_in.html", {"invitation": invitation})
    form = NewPersonForm(request.POST or None, email=invitation.email)
    if not form.is_valid():
        return render(request, "invitation/new.html", {"invitation": invitation, "form": form})
    name, password = form.cleaned_data["name"], form.cleaned_data["password"]
    try:
        joined = accept_as_new_person(invitation=invitation, name=name, password=password)
    except DomainError as refusal:
        form.add_error(None, refusal.message)
        return render(request, "invitation/new.html", {"invitation": invitation, "form": form})
    login(request, joined.person, backend=BACKEND)
    return redirect("home")


def _join(request: HttpRequest, invitation: Invitation) -> HttpResponse:
    context: dict[str, object] = {"invitation": invitation}
    if request.method == "POST":
        try:
            accept_invitation(invitation=invitation, by=request.user)
        except DomainError as refusal:
            context["refusal"] = refusal.message
        else:
            return redirect("organisation_page", pk=invitation.organisation_id)
    return render(request, "invitation/join.html", context)
