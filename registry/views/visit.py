"""Inspection visits: list, begin, look at, correct, void; and readings of wells."""

from collections.abc import Iterable
from typing import Any
from zoneinfo import ZoneInfo

from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import Count, Exists, OuterRef, Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from registry import access
from registry.access.defects import (
    get_visit,
    is_own,
    visible_defects,
    visible_observations,
    visible_photos,
    visible_visits,
)
from registry.actions.correct_visit import correct_visit
from registry.actions.open_visit import open_visit
from registry.actions.read_well import read_well
from registry.actions.void_visit import void_visit
from registry.faults import DomainError
from registry.forms.reason import ReasonForm
from registry.forms.visit import VisitBeginForm, VisitForm
from registry.forms.well_reading import WellReadingForm
from registry.gathering.known_defects import extent_words, found_new
from registry.gathering.lip_alarm import alarm_of
from registry.gathering.visit_parts import visit_parts
from registry.models import Observation, Pavement, Visit, WalkedPanel
from registry.models.panel import plan_order
from registry.numerals import whole_number
from registry.units import System
from registry.views.corrected import tell_corrected
from registry.views.entry import try_action
from registry.views.pavement import local_today
from registry.views.title import TitleBlock, title_block_of

A_PAGE = 100


@require_safe
def visit_list(request: HttpRequest, pk: int) -> HttpResponse:
    """List the visits of a pavement, the newest first."""
    pavement = access.get_pavement(request.user, pk)
    rows = visible_visits(request.user, pavement).annotate(
        answers=Count("observations", filter=Q(observations__void_at__isnull=True), distinct=True)
    )
    page = Paginator(rows.order_by("-done_on", "-pk"), A_PAGE).get_page(request.GET.get("page"))
    context = {
        "pavement": pavement,
        "head": _head(request, pavement),
        "page": page,
        "may_record": access.may(request.user, pavement, "record_visit"),
    }
    return render(request, "visit/list.html", context)


@require_http_methods(["GET", "POST"])
def visit_add(request: HttpRequest, pk: int) -> HttpResponse:
    """Begin a visit, and go on to its walk."""
    pavement = access.get_pavement(request.user, pk, to="record_visit")
    organisation = access.acting_organisation(request.user, pavement, "record_visit")
    now = timezone.now().astimezone(ZoneInfo(pavement.site.time_zone))
    initial = {
        "done_on": now.date(),
        "started_clock": f"{now:%H:%M}",
        "walked_by": request.user.name or str(request.user),
    }
    form = VisitBeginForm(
        request.POST or None, parent=pavement, system=request.user.shown_system, initial=initial
    )
    if request.method == "POST" and form.is_valid():
        row = try_action(form, open_visit, form.entry(), by=request.user, organisation=organisation)
        if row is not None:
            messages.success(request, "The visit is under way. Each answer is kept at once.")
            return redirect("visit_walk", row.pk)
    there = visible_visits(request.user, pavement).under_way().filter(entered_for=organisation)
    context = {"pavement": pavement, "form": form, "under_way": there.first()}
    return render(request, "visit/add.html", {**context, "head": _head(request, pavement)})


@require_safe
def visit_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a visit: what was walked, answered, found new, read and signed."""
    row = get_visit(request.user, pk)
    own, there = is_own(request.user, row.pavement, row), visit_parts(row)
    context = {
        "row": row,
        "pavement": row.pavement,
        "head": _head(request, row.pavement),
        "panels": _panels(there.walked),
        "looks": _looks(request, row),
        "wells": there.readings,
        "dirt": there.dirt_sources,
        "photos": visible_photos(request.user, row.pavement).filter(visit=row).for_list(),
        "copies": row.copies.select_related("sheet", "copied_by"),
        "lines": access.visible_lines_about(request.user, row),
        "is_author": own and not row.is_void,
        "opens_sheet": own or access.reads_all(request.user, row.pavement),
        "void_form": ReasonForm(auto_id="void_%s"),
    }
    return render(request, "visit/page.html", context)


@require_http_methods(["GET", "POST"])
def visit_correct(request: HttpRequest, pk: int) -> HttpResponse:
    """Correct a visit by a correction line."""
    row = get_visit(request.user, pk, to="correct")
    form = VisitForm(
        request.POST or None,
        instance=row,
        parent=row.pavement,
        system=request.user.shown_system,
    )
    reason = ReasonForm(request.POST or None)
    if request.method == "POST" and all([form.is_valid(), reason.is_valid()]):
        given = {"changes": form.changes(), "why": reason.cleaned_data["why"]}
        organisation = row.entered_for
        if try_action(
            form, correct_visit, row, by=request.user, organisation=organisation, **given
        ):
            tell_corrected(request, row)
            return redirect("visit_page", pk)
    context = {"row": row, "pavement": row.pavement, "form": form, "reason": reason}
    return render(request, "visit/correct.html", {**context, "head": _head(request, row.pavement)})


@require_POST
def visit_void(request: HttpRequest, pk: int) -> HttpResponse:
    """Void a visit with its answers, with a reason."""
    row = get_visit(request.user, pk, to="correct")
    form = ReasonForm(request.POST)
    if not form.is_valid():
        messages.error(request, "Say why the visit is void.")
        return redirect("visit_page", pk)
    given: dict[str, Any] = {"by": request.user, "organisation": row.entered_for}
    try:
        left = void_visit(row, why=form.cleaned_data["why"], **given)
    except DomainError as fault:
        messages.error(request, fault.message)
    else:
        messages.success(request, f"The visit is void, its answers with it.{_left(left)}")
    return redirect("visit_page", pk)


@require_http_methods(["GET", "POST"])
def well_reading_add(request: HttpRequest, pk: int) -> HttpResponse:
    """Write down the water in a well; of a visit where the address names one."""
    pavement = access.get_pavement(request.user, pk, to="record_visit")
    visit = _visit_named(request, pavement)
    day = visit.done_on if visit else local_today(pavement)
    form = WellReadingForm(
        request.POST or None,
        pavement=pavement,
        system=request.user.shown_system,
        initial={"read_on": day, "well": request.GET.get("well")},
    )
    if request.method == "POST" and form.is_valid():
        entry = form.entry()
        entry.visit = visit
        organisation = access.acting_organisation(request.user, pavement, "record_visit")
        row = try_action(form, read_well, entry, by=request.user, organisation=organisation)
        if row is not None:
            messages.success(request, f"Stored: {row.well}.")
            return redirect(_back(visit, pavement))
    context = {"pavement": pavement, "form": form, "visit": visit, "back": _back(visit, pavement)}
    return render(request, "visit/well.html", {**context, "head": _head(request, pavement)})


def _visit_named(request: HttpRequest, pavement: Pavement) -> Visit | None:
    number = whole_number(request.GET.get("visit", ""))
    if number is None:
        return None
    visit = get_visit(request.user, number, to="correct")
    return visit if visit.pavement_id == pavement.pk else None


def _back(visit: Visit | None, pavement: Pavement) -> str:
    if visit is None:
        return reverse("visit_list", args=[pavement.pk])
    if visit.is_open:
        return f"{reverse('visit_walk', args=[visit.pk])}#wells"
    return reverse("visit_page", args=[visit.pk])


def _left(defects: list[Any]) -> str:
    if not defects:
        return ""
    named = ", ".join(str(defect.number) for defect in defects)
    return f" Defects it noted stay on the record: no. {named}. Void those that are wrong too."


def _panels(walked: Iterable[WalkedPanel]) -> list[tuple[str, str]]:
    """Return ("walked", names) and ("not seen, because ...", names)."""
    named: dict[str, list[str]] = {}
    for part in walked:
        words = f"not seen: {part.why}" if part.is_unseen else "walked"
        named.setdefault(words, []).append(part.panel.name)
    return [(words, ", ".join(sorted(names, key=plan_order))) for words, names in named.items()]


def _looks(request: HttpRequest, row: Visit) -> list[dict[str, Any]]:
    """Return what was seen of each defect, known ones first, as the person may see it."""
    system = System(request.user.shown_system)
    defect = {"pk": OuterRef("defect")}
    seen = visible_observations(request.user, row.pavement).standing().filter(visit=row)
    seen = seen.select_related("defect__pavement").annotate(
        is_new=Exists(found_new(row).filter(**defect)),
        is_shown=Exists(visible_defects(request.user, row.pavement).filter(**defect)),
    )
    looks = sorted(seen, key=lambda look: (look.is_new, look.defect.number))
    return [
        {
            "look": look,
            "defect": look.defect,
            "is_new": look.is_new,
            "extent": extent_words(look.defect.kind, look, system),
            "alarm": alarm_of(look.defect, look),
            "found": Observation.Found(look.found).label,
            "is_shown": look.is_shown,
        }
        for look in looks
    ]


def _head(request: HttpRequest, pavement: Pavement) -> TitleBlock:
    return title_block_of(request.user, pavement, as_of=local_today(pavement))
