"""Note a defect: its kind, then its place and first look; a person says whether it is known."""

from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from registry import access
from registry.access.defects import get_visit, visible_defects
from registry.actions.note_defect import note_defect
from registry.defects import KINDS, Offer
from registry.faults import DomainError
from registry.forms.defect import DefectForm, SameForm
from registry.forms.observation import ObservationForm
from registry.gathering.defect_place import known_like, put_in_place
from registry.gathering.defects import haste_of
from registry.gathering.layouts import current_plan
from registry.models import Defect, Observation, Pavement, Visit
from registry.numerals import whole_number
from registry.units import System
from registry.views.entry import try_action
from registry.views.pavement import local_today
from registry.views.plan_placer import placer_of
from registry.views.title import title_block_of


@dataclass
class Noting:
    """A defect about to be noted: its forms, and the known ones it may be."""

    form: DefectForm
    look_form: ObservationForm
    visit: Visit | None
    same_form: SameForm | None = None
    offered: tuple[tuple[Offer, Defect], ...] = ()


@require_http_methods(["GET", "POST"])
def defect_add(request: HttpRequest, pk: int) -> HttpResponse:
    """Choose a kind; then write down place and first look, and decide whether it is known."""
    pavement = access.get_pavement(request.user, pk, to="record_defect")
    visit, kind = _visit(request, pavement), request.GET.get("kind", "")
    context: dict[str, Any] = {
        "pavement": pavement,
        "visit": visit,
        "head": title_block_of(request.user, pavement, as_of=local_today(pavement)),
    }
    if kind not in KINDS:
        kept = request.GET.copy()
        kept.pop("kind", None)
        context |= {"kinds": list(KINDS.values()), "kept": f"&{kept.urlencode()}" if kept else ""}
        return render(request, "defect/kinds.html", context)
    noting = _noting(request, pavement, kind, visit)
    if request.method == "POST" and (stored := _stored(request, pavement, noting)) is not None:
        _tell(request, stored)
        if visit is not None:
            return redirect(f"{reverse('visit_walk', args=[visit.pk])}#new")
        return redirect("defect_page", stored.pk)
    on = visit.done_on if visit else local_today(pavement)
    context |= {"noting": noting, "kind": KINDS[kind], "placer": placer_of(pavement, on=on)}
    return render(request, "defect/add.html", context)


def _visit(request: HttpRequest, pavement: Pavement) -> Visit | None:
    """Return the visit under way that it is noted on, if the address names one."""
    named = request.GET.get("visit", "")
    if not named:
        return None
    number = whole_number(named)
    if number is None:
        raise Http404("No such visit.")
    visit = get_visit(request.user, number, to="correct")
    if visit.pavement_id != pavement.pk or not visit.is_open:
        raise Http404("No such visit under way.")
    return visit


def _noting(request: HttpRequest, pavement: Pavement, kind: str, visit: Visit | None) -> Noting:
    data, today = request.POST or None, local_today(pavement)
    said = pavement.accessible_route if pavement.accessible_route in ("yes", "no") else ""
    place = request.GET.get("place", "")[:120]
    form = DefectForm(
        data,
        instance=Defect(kind=kind),
        parent=pavement,
        system=pavement.sheet_system,
        has_plan=current_plan(pavement) is not None,
        initial={"place": place, "on_accessible_route": said},
    )
    seen_by = visit.walked_by if visit else _name(request)
    look = Observation(visit=visit, seen_on=visit.done_on if visit else today)
    initial = {"seen_on": today, "seen_by": seen_by}
    return Noting(form, _look_form(data, pavement, kind, look, initial), visit)


def _look_form(
    data: Any, pavement: Pavement, kind: str, look: Observation, initial: dict[str, Any]
) -> ObservationForm:
    return ObservationForm(
        data,
        instance=look,
        asks=KINDS[kind].asks,
        label=KINDS[kind].label,
        system=pavement.sheet_system,
        leaves_out=("found", "why_not", *(("seen_on",) if look.visit else ())),
        initial=initial,
    )


def _name(request: HttpRequest) -> str:
    return str(request.user.name or request.user)


def _stored(request: HttpRequest, pavement: Pavement, noting: Noting) -> Defect | None:
    """Store what is complete and decided; None where something is refused or still asked."""
    form, look_form = noting.form, noting.look_form
    if not all([form.is_valid(), look_form.is_valid()]):
        return None
    row, look = form.entry(), look_form.entry()
    assert isinstance(row, Defect)
    try:
        put_in_place(row, system=System(form.chosen_system), on=look.seen_on)
    except DomainError as fault:
        form.add_error("place", fault.message)
        return None
    known = visible_defects(request.user, pavement).standing().select_related("panel")
    noting.offered = tuple(known_like(row, known.filter(kind=row.kind)))
    relation, other = _decision(request, noting)
    if relation is None:
        return None
    side = access.acting_organisation(request.user, pavement, "record_defect")
    given = {"first_look": look, "relation": relation, "other": other}
    stored: Defect | None = try_action(
        form, note_defect, row, by=request.user, organisation=side, **given
    )
    return stored


def _decision(request: HttpRequest, noting: Noting) -> tuple[str | None, Defect | None]:
    """Return what a person decided: "" is a new one; None where nobody has decided yet."""
    rows = {row.pk: row for _, row in noting.offered}
    if not rows:
        return "", None
    offered = [(row.pk, str(row), offer.relation) for offer, row in noting.offered]
    asked = "same" in request.POST
    noting.same_form = SameForm(request.POST if asked else None, offered=offered)
    if not noting.same_form.is_valid():
        return None, None
    relation, pk = noting.same_form.decided
    return relation, rows[pk] if pk is not None else None


def _tell(request: HttpRequest, row: Defect) -> None:
    """Say that it is stored; a lip that has to be made safe today is told first."""
    looks = list(row.observations.standing().in_order())
    urgency = haste_of(row, looks).urgency
    if urgency is not None and urgency.is_urgent:
        messages.error(request, f"Make it safe today. {urgency.why} {urgency.caution}")
    kept = f"defect-{row.pavement_id}-{row.kind}"
    messages.success(request, f"Stored: {row}, {row.get_kind_display()}.", extra_tags=kept)
