"""Seats at a pavement: who is what to it, appoint, end."""

from datetime import date
from zoneinfo import ZoneInfo

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods

from registry import access
from registry.actions.end_seat import end_seat
from registry.actions.grant_seat import Term, appoint_newcomer, grant_seat
from registry.actions.invite_person import Issued, mail_invitation
from registry.faults import DomainError
from registry.forms.reason import ReasonForm
from registry.forms.seat import SeatForm
from registry.models import Pavement
from registry.views.title import title_block_of


@require_GET
def seat_list(request: HttpRequest, pk: int) -> HttpResponse:
    """List the seats at a pavement with their times; past ones below."""
    pavement = access.get_pavement(request.user, pk)
    rights = access.rights_at(request.user, pavement)
    seats = access.visible_seats(request.user, pavement)
    context = {
        "pavement": pavement,
        "head": title_block_of(request.user, pavement, as_of=_today(pavement)),
        "seats": [(seat, rights.ending(seat) is not None) for seat in seats],
        "may_appoint": bool(rights.appoints),
        "may_sell": rights.may("sell"),
        "may_split": rights.may("split"),
    }
    return render(request, "seat/list.html", context)


@never_cache
@require_http_methods(["GET", "POST"])
def seat_add(request: HttpRequest, pk: int) -> HttpResponse:
    """Appoint an organisation, or bring in one that is not here yet and appoint it."""
    pavement = access.get_pavement(request.user, pk, to="appoint")
    form = SeatForm(
        request.POST or None,
        pavement=pavement,
        roles=access.rights_at(request.user, pavement).appoints,
        sections=access.visible_sections(request.user, pavement),
        today=_today(pavement),
    )
    if form.is_valid():
        try:
            return _appointed(request, pavement, form)
        except DomainError as refusal:
            form.add_error(None, refusal.message)
    context = {
        "pavement": pavement,
        "form": form,
        "organisations": access.known_organisations(request.user),
    }
    return render(request, "seat/add.html", context)


def _appointed(request: HttpRequest, pavement: Pavement, form: SeatForm) -> HttpResponse:
    term = Term(**form.term())
    giver = access.rights_at(request.user, pavement).appointing(term.role)
    given = {"pavement": pavement, "term": term, "by": request.user, "appointed_by": giver}
    if form.cleaned_data["found"] is not None:
        seat = grant_seat(organisation=form.cleaned_data["found"], **given)
        messages.success(request, f"{seat} sits here now.")
        return redirect("seat_list", pk=pavement.pk)
    name, email = form.cleaned_data["organisation"], form.cleaned_data["email"]
    seat, issued = appoint_newcomer(name=name, email=email, **given)
    return _show_link(request, issued, pavement)


def _show_link(request: HttpRequest, issued: Issued, pavement: Pavement) -> HttpResponse:
    context = {
        "issued": issued,
        "organisation": issued.invitation.organisation,
        "pavement": pavement,
    }
    try:
        mail_invitation(issued, by=request.user)
    except OSError as fault:
        context["not_mailed"] = str(fault)
    return render(request, "invitation/given.html", context)


@require_http_methods(["GET", "POST"])
def seat_end(request: HttpRequest, pk: int) -> HttpResponse:
    """End a seat, or give up one's own."""
    seat = access.get_seat(request.user, pk, to="end")
    form = ReasonForm(request.POST or None)
    if form.is_valid():
        organisation = access.rights_at(request.user, seat.pavement).ending(seat)
        why = form.cleaned_data["why"]
        try:
            end_seat(seat=seat, why=why, by=request.user, organisation=organisation)
        except DomainError as refusal:
            form.add_error(None, refusal.message)
        else:
            messages.success(request, f"The seat of {seat.organisation} has ended.")
            return redirect("seat_list", pk=seat.pavement_id)
    return render(request, "seat/end.html", {"seat": seat, "form": form})


def _today(pavement: Pavement) -> date:
    return timezone.now().astimezone(ZoneInfo(pavement.site.time_zone)).date()
