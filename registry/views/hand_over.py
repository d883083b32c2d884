"""Hand-over certificates: drawn up from the record, signed by both, in effect from an hour."""

from functools import partial
from typing import Any

from django.conf import settings
from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from registry import access
from registry.access.callbacks import hand_over_side, takers_of, visible_hand_overs
from registry.actions.draw_up_hand_over import draw_up_hand_over
from registry.actions.print_sheet import print_sheet
from registry.forms.hand_over import HandOverForm
from registry.gathering.claim_words import NOT_LIABLE
from registry.gathering.hand_over_facts import open_things_of
from registry.gathering.layouts import current_plan
from registry.models import HandOver, Pavement
from registry.models.printed_sheet import SheetKind
from registry.sheets.gathered import heading_of
from registry.sheets.hand_over_content import TITLE, hand_over_content
from registry.sheets.printing import draw_sheet, kept_of
from registry.units import System
from registry.views.entry import try_action
from registry.views.pavement import local_today
from registry.views.signed_move import move_page
from registry.views.title import title_block_of


@require_http_methods(["GET", "POST"])
def hand_over_add(request: HttpRequest, pk: int) -> HttpResponse:
    """Draw up a certificate: its lines follow from the record."""
    pavement = access.get_pavement(request.user, pk, to="hand_over")
    side = access.acting_organisation(request.user, pavement, "hand_over")
    first = {"open_things": [[what, ""] for what in open_things_of(pavement)]}
    form = HandOverForm(
        request.POST or None,
        parent=pavement,
        system=request.user.shown_system,
        takers=takers_of(request.user, pavement),
        initial={**first, "giver_name": request.user.name or str(request.user)},
    )
    if request.method == "POST" and form.is_valid():
        row: Any = form.entry()
        row.giver = side
        if try_action(form, draw_up_hand_over, row, by=request.user, organisation=side):
            messages.success(request, f"Drawn up: {row}.", extra_tags=f"hand-over-{pavement.pk}")
            return redirect("hand_over_page", pk, row.pk)
    return _shown(request, pavement, "add", form=form)


@require_safe
def hand_over_page(request: HttpRequest, pk: int, row: int) -> HttpResponse:
    """Show a certificate as it was drawn up, and how far it is signed."""
    pavement, found = _find(request, pk, row)
    side = partial(hand_over_side, access.rights_at(request.user, pavement), found)
    heading = heading_of(
        TITLE, pavement, None, System(request.user.shown_system), local_today(pavement), None
    )
    context = {
        "row": found,
        "content": hand_over_content(found, heading),
        "moves": found.moves.select_related("by", "by_organisation"),
        "may_move": side("offered") is not None or side("taker") is not None,
    }
    return _shown(request, pavement, "page", **context)


@require_http_methods(["GET", "POST"])
def hand_over_move(request: HttpRequest, pk: int, row: int) -> HttpResponse:
    """Offer, contest, sign or put a certificate into effect: each side its own move."""
    pavement, found = _find(request, pk, row)
    side = partial(hand_over_side, access.rights_at(request.user, pavement), found)
    if side("offered") is None and side("taker") is None:
        raise PermissionDenied("Only giver and taker sign a hand-over.")
    back = reverse("hand_over_page", args=[pk, row])
    return move_page(request, found, pavement=pavement, side=side, back=back)


@require_POST
def hand_over_paper(request: HttpRequest, pk: int, row: int) -> HttpResponse:
    """Print the certificate on one page."""
    pavement, found = _find(request, pk, row)
    own = next(iter(access.rights_at(request.user, pavement).open_seats), None)
    organisation = own.organisation if own else None
    system = System(request.user.shown_system)
    plan, today = current_plan(pavement), local_today(pavement)
    heading = heading_of(TITLE, pavement, plan, system, today, organisation)
    content = hand_over_content(found, heading)
    paper = "a4" if system is System.SI else "letter"
    done = print_sheet(
        kind=SheetKind.HANDOVER,
        draw=lambda number: draw_sheet(
            content, number=number, public_url=settings.PUBLIC_URL, paper=paper
        ),
        content=kept_of(content),
        system=system.value,
        paper=paper,
        pavement=pavement,
        by=request.user,
        organisation=organisation,
    )
    headers = {"Content-Disposition": f'inline; filename="{done.row.number}.pdf"'}
    return HttpResponse(done.pdf, content_type="application/pdf", headers=headers)


def _find(request: HttpRequest, pk: int, row: int) -> tuple[Pavement, HandOver]:
    pavement = access.get_pavement(request.user, pk)
    rows = visible_hand_overs(request.user, pavement).select_related("giver", "taker")
    found = get_object_or_404(rows, pk=row)
    found.pavement = pavement
    return pavement, found


def _shown(request: HttpRequest, pavement: Pavement, name: str, **more: Any) -> HttpResponse:
    head = title_block_of(request.user, pavement, as_of=local_today(pavement))
    context = {"pavement": pavement, "head": head, "not_liable": NOT_LIABLE, **more}
    return render(request, f"hand_over/{name}.html", context)
