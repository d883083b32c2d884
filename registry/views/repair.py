"""Repairs of a pavement: ordered, done, cured, accepted with a cover of their own."""

from typing import Any

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from registry import access
from registry.access.callbacks import visible_repairs
from registry.access.defects import visible_recurrences
from registry.access.holding import rights_at
from registry.access.placing import visible_placing_days
from registry.gathering.claim_words import CUTTING, NOT_LIABLE
from registry.gathering.recurrences import Recurrence, recurrences
from registry.gathering.repair_figures import quantities_of
from registry.gathering.warranty_terms import last_day_of
from registry.models import Pavement, Repair
from registry.models.placing_day import PlacingDayQuerySet
from registry.models.repair import RepairQuerySet
from registry.models.together import together
from registry.views.pavement import local_today
from registry.views.signed_move import move_page
from registry.views.title import title_block_of

A_PAGE = 50


@require_safe
def repair_list(request: HttpRequest, pk: int) -> HttpResponse:
    """List the repairs of a pavement that one sees."""
    pavement = access.get_pavement(request.user, pk)
    rows = visible_repairs(request.user, pavement).select_related("callback", "warranty_part")
    may_write = rights_at(request.user, pavement).organisation_for("record_repair")
    page = Paginator(list(rows), A_PAGE).get_page(request.GET.get("page"))
    return _shown(request, pavement, "list", page=page, may_write=may_write)


@require_safe
def repair_page(request: HttpRequest, pk: int, row: int) -> HttpResponse:
    """Show a repair: extents, price, states, its cover, tests after, the new concrete."""
    pavement = access.get_pavement(request.user, pk)
    rows = visible_repairs(request.user, pavement).select_related(
        "callback", "warranty_part__warranty"
    )
    found = get_object_or_404(rows, pk=row)
    context: dict[str, Any] = {
        "row": found,
        "quantities": quantities_of(found, request.user.shown_system),
        "came_back": _came_back(request, pavement, rows, row),
        "moves": found.moves.select_related("by", "by_organisation"),
        **_hangs_on(found, visible_placing_days(request.user, pavement)),
        "cover_ends": last_day_of(found.warranty_part),
        "lines": access.visible_lines_about(request.user, found),
        "may_write": rights_at(request.user, pavement).organisation_for("record_repair"),
    }
    return _shown(request, pavement, "page", **context)


def _came_back(
    request: HttpRequest, pavement: Pavement, rows: RepairQuerySet, row: int
) -> list[Recurrence]:
    """What came back after one of these repairs."""
    links = visible_recurrences(request.user, pavement)
    return [one for one in recurrences(links, rows.filter(pk=row)) if one.repair is not None]


def _hangs_on(row: Repair, seen: PlacingDayQuerySet) -> dict[str, list]:
    """Days of its new concrete of those seen, defects covered, tests after: one question."""
    days, defects, tests = together(
        seen.standing().filter(repair=row), row.defects.all(), row.tests_after.all()
    )
    days.sort(key=lambda day: (day.placed_on, day.pk))
    defects.sort(key=lambda defect: (defect.number, defect.pk))
    tests.sort(key=lambda test: (test.started_on, test.pk))
    return {"days": days, "defects": defects, "tests": tests}


@require_http_methods(["GET", "POST"])
def repair_move(request: HttpRequest, pk: int, row: int) -> HttpResponse:
    """Move a repair on, or back with a reason."""
    pavement = access.get_pavement(request.user, pk, to="record_repair")
    found = get_object_or_404(visible_repairs(request.user, pavement), pk=row)
    side = access.acting_organisation(request.user, pavement, "record_repair")
    back = reverse("repair_page", args=[pk, row])
    return move_page(request, found, pavement=pavement, side=lambda state: side, back=back)


def _shown(request: HttpRequest, pavement: Pavement, name: str, **more: Any) -> HttpResponse:
    head = title_block_of(request.user, pavement, as_of=local_today(pavement))
    words = {"cutting": CUTTING, "not_liable": NOT_LIABLE}
    context = {"pavement": pavement, "head": head, **words, **more}
    return render(request, f"repair/{name}.html", context)
