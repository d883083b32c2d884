"""Organisations of the person who is signed in, and who belongs to them."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from registry import access
from registry.actions.correct_organisation import correct_organisation
from registry.actions.end_membership import end_membership
from registry.faults import DomainError
from registry.forms.organisation import OrganisationForm


@require_GET
def organisation_list(request: HttpRequest) -> HttpResponse:
    """List the organisations the person works for."""
    organisations = access.organisations_of(request.user)
    return render(request, "organisation/list.html", {"organisations": organisations})


@require_GET
def organisation_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Show who belongs to an organisation and which invitations are open."""
    organisation = access.get_organisation(request.user, pk)
    context = {
        "organisation": organisation,
        "members": access.members_of(organisation),
        "may_invite": access.may_invite(request.user, organisation),
        "invitations": access.open_invitations(request.user, organisation),
    }
    return render(request, "organisation/page.html", context)


@require_http_methods(["GET", "POST"])
def organisation_correct(request: HttpRequest, pk: int) -> HttpResponse:
    """Put right local time, units, e-mail and address; by one who may invite."""
    organisation = access.get_organisation(request.user, pk, to="invite")
    form = OrganisationForm(request.POST or None, initial=OrganisationForm.shown(organisation))
    if request.method == "POST" and form.is_valid():
        correct_organisation(organisation, values=form.cleaned_data, by=request.user)
        messages.success(request, "Stored.")
        return redirect("organisation_page", pk)
    context = {"organisation": organisation, "form": form}
    return render(request, "organisation/put_right.html", context)


@require_POST
def membership_end(request: HttpRequest, pk: int) -> HttpResponse:
    """End a person's work for an organisation: oneself, or by one who may invite."""
    membership = access.get_membership(request.user, pk)
    try:
        end_membership(membership=membership, by=request.user)
    except DomainError as refusal:
        messages.error(request, refusal.message)
    else:
        said = f"{membership.person} does not work for {membership.organisation} any more."
        messages.success(request, said)
    if membership.person_id == request.user.pk:
        return redirect("organisation_list")
    return redirect("organisation_page", pk=membership.organisation_id)
