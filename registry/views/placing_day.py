"""Placing days: those of a pavement, and one with loads, weather, covers and all their figures."""

from collections.abc import Sequence
from typing import Any

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from registry import access
from registry.access.placing import get_placing_day, may_write, sees_inside, visible_placing_days
from registry.gathering.claim_words import PLACING
from registry.gathering.day_figures import day_figures
from registry.gathering.day_rows import day_rows
from registry.gathering.load_figures import drying_of, figures_of
from registry.models import Pavement, PlacingDay, WeatherReading
from registry.models.placing_day import TASKS
from registry.units import System
from registry.views.pavement import local_today
from registry.views.title import title_block_of

A_PAGE = 50


@require_safe
def placing_day_list(request: HttpRequest, pk: int) -> HttpResponse:
    """List the placing days of a pavement that one sees."""
    pavement = access.get_pavement(request.user, pk)
    rows = visible_placing_days(request.user, pavement).in_order().select_related("repair")
    rights = access.rights_at(request.user, pavement)
    may_add = rights.organisation_for("record_placing") is not None
    page = Paginator(list(rows), A_PAGE).get_page(request.GET.get("page"))
    return _shown(request, pavement, "list", page=page, may_add=may_add)


@require_safe
def placing_day_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a day: every load with its figures, weather, strike-off, covers, walks, breaks."""
    day = get_placing_day(request.user, pk)
    rows = day_rows(day)
    figures = figures_of(day, rows.loads, rows.spreads, rows.weather)
    context: dict[str, Any] = {
        "day": day,
        "figures": figures,
        "weather": _with_drying(rows.weather),
        "sums": day_figures(day, figures, System(request.user.shown_system)),
        "cure": rows.cure(day),
        "strike_offs": rows.strike_offs,
        "blemishes": rows.blemishes,
        "early_loads": rows.early_loads,
        "uncovers": rows.uncovers,
        "crew": _crew(request, day),
        "may_write": may_write(request.user, day),
        "may_correct": sees_inside(request.user, day),
        "lines": access.visible_lines_about(request.user, day),
    }
    return _shown(request, day.pavement, "page", **context)


def _crew(request: HttpRequest, day: PlacingDay) -> list[tuple[str, str]]:
    """Return who did what, for the contractor's own side alone."""
    if not sees_inside(request.user, day):
        return []
    crew = day.crew_by_task.items()
    return [(TASKS[task], ", ".join(names)) for task, names in crew if task in TASKS]


def _with_drying(rows: Sequence[WeatherReading]) -> list[tuple[WeatherReading, Any]]:
    return [(row, drying_of(row)) for row in rows]


def _shown(request: HttpRequest, pavement: Pavement, name: str, **more: Any) -> HttpResponse:
    head = title_block_of(request.user, pavement, as_of=local_today(pavement))
    context = {"pavement": pavement, "head": head, "cautions": PLACING, **more}
    return render(request, f"placing_day/{name}.html", context)
