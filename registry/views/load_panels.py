"""From load to panel: loads laid over the plan, what each raveled, and the pattern by load."""

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.safestring import SafeString, mark_safe
from django.views.decorators.http import require_http_methods, require_safe

from registry import access
from registry.access.callbacks import visible_winter_log
from registry.access.placing import visible_placing_days, visible_raveled_shares
from registry.actions.add_entries import add_entries
from registry.drawing.load_limits import LimitDrawn, PanelDrawn, load_picture
from registry.drawing.svg import to_svg
from registry.forms.load_compare import LoadCompareForm
from registry.forms.raveled_share import RaveledSharesForm
from registry.gathering.claim_words import NOT_LIABLE
from registry.gathering.load_pattern import (
    Look,
    PlacedLoads,
    changes_of,
    late_against_rest,
    late_loads,
    looks_of,
    neighbours,
    pattern_of,
    placed_loads,
)
from registry.gathering.winter_zone import winter_zone
from registry.models import Pavement
from registry.models.panel import plan_order
from registry.placing.groups import against_the_rest
from registry.views.entry import try_action
from registry.views.pavement import local_today
from registry.views.title import title_block_of

PICTURE_MM = (110.0, 150.0)
NEIGHBOURS = 12


@require_safe
def load_panels(request: HttpRequest, pk: int) -> HttpResponse:
    """Show the loads in each panel, raveled shares by panel and load, and N18 for each factor."""
    pavement = access.get_pavement(request.user, pk)
    days = visible_placing_days(request.user, pavement).standing().filter(repair__isnull=True)
    placed = placed_loads(pavement, days)
    shares = visible_raveled_shares(request.user, pavement).standing().of_plan()
    looks = looks_of(placed.shares, shares) if placed.shares else []
    names = list(placed.shares.areas_m2) if placed.shares else []
    form = LoadCompareForm(request.GET or None, names=names)
    context: dict[str, Any] = {
        "placed": placed,
        "form": form,
        "picture": _picture(placed, looks),
        "looks": looks,
        "panels": _panels(placed, looks),
        "first": _first(placed, looks, form.late_min),
        "winter": _winter(placed, looks, _zone(request, pavement, form)),
        "may_grade": access.may(request.user, pavement, "record_raveling"),
    }
    return _shown(request, pavement, "page", **context)


def _first(placed: PlacedLoads, looks: list[Look], late_min: float | None) -> dict[str, Any] | None:
    """Return what the first look says by load: later ones have winters in them."""
    if not looks:
        return None
    look, late = looks[0], late_loads(placed, over_min=late_min)
    return {
        "late_over": "the limit of the day" if late_min is None else f"{late_min:g} min",
        "look": look,
        "pattern": pattern_of(placed, look.by_load),
        "late": late,
        "compared": late_against_rest(placed, look, late),
        "neighbours": neighbours(placed, look)[:NEIGHBOURS],
    }


Zone = Callable[[Look, Look, Iterable[str]], set[str]]


def _zone(request: HttpRequest, pavement: Pavement, form: LoadCompareForm) -> Zone:
    """Return how to find the winter zone between two looks: as typed, else by the log."""

    def found(before: Look, after: Look, names: Iterable[str]) -> set[str]:
        if form.zone_named:
            return set(form.zone_named)
        log = visible_winter_log(request.user, pavement).standing().in_order()
        return winter_zone(log, before.on, after.on, names)

    return found


def _winter(placed: PlacedLoads, looks: list[Look], find_zone: Zone) -> dict[str, Any] | None:
    """Return the change between the first two looks, by load, and in the winter zone or not."""
    if placed.shares is None or len(looks) < 2:
        return None
    before = looks[0]
    after = next((look for look in looks[1:] if look.graded_by == before.graded_by), None)
    if after is None:
        return None
    zone = find_zone(before, after, placed.shares.areas_m2)
    both = set(before.by_panel) & set(after.by_panel)
    gained = {name: after.by_panel[name] - before.by_panel[name] for name in both}
    return {
        "before": before,
        "after": after,
        "by_load": changes_of(before, after),
        "zone": sorted(zone, key=plan_order),
        "compared": against_the_rest(gained, placed.shares.areas_m2, zone),
    }


def _panels(placed: PlacedLoads, looks: list[Look]) -> list[tuple[str, str, list[Any]]]:
    if placed.shares is None:
        return []
    names = sorted(placed.shares.areas_m2, key=plan_order)
    return [
        (name, placed.shares.words_of(name), [(look, look.by_panel.get(name)) for look in looks])
        for name in names
    ]


def _picture(placed: PlacedLoads, looks: list[Look]) -> SafeString | None:
    if placed.shares is None or not placed.panels:
        return None
    newest: Mapping[str, float] = looks[-1].by_panel if looks else {}
    panels = [
        PanelDrawn(
            panel.name,
            tuple(panel.polygon.exterior.coords),
            f"{100 * newest[panel.name]:.0f} %" if panel.name in newest else "",
        )
        for panel in placed.panels
    ]
    drawing = load_picture(panels, _limits(placed), PICTURE_MM)
    return mark_safe(to_svg(drawing, id_prefix="loads"))  # our own drawing, its words escaped


def _limits(placed: PlacedLoads) -> list[LimitDrawn]:
    lanes: dict[str, list[float]] = {}
    for panel in placed.panels:
        left, _, right, _ = panel.polygon.bounds
        span = lanes.setdefault(panel.letter, [left, right])
        span[0], span[1] = min(span[0], left), max(span[1], right)
    return [
        LimitDrawn(name, lanes[one.lane][0], lanes[one.lane][1], one.from_m, one.to_m)
        for name, found in placed.figures.items()
        for one in found.spreads
        if one.lane in lanes
    ]


@require_http_methods(["GET", "POST"])
def raveled_add(request: HttpRequest, pk: int) -> HttpResponse:
    """Write down the raveled shares of many panels of one day."""
    pavement = access.get_pavement(request.user, pk, to="record_raveling")
    side = access.acting_organisation(request.user, pavement, "record_raveling")
    rows = pavement.panels.standing().filter(exists_to_on__isnull=True)
    names = sorted(rows.values_list("name", flat=True), key=plan_order)
    who = {"looked_on": local_today(pavement), "looked_by": request.user.name or str(request.user)}
    form = RaveledSharesForm(request.POST or None, pavement=pavement, names=names, initial=who)
    if request.method == "POST" and form.is_valid():
        entries = form.entries()
        if try_action(form, add_entries, entries, by=request.user, organisation=side) is not None:
            messages.success(request, f"Stored: {len(entries)} panels.")
            return redirect("load_panels", pk)
    return _shown(request, pavement, "grade", form=form, names=names)


def _shown(request: HttpRequest, pavement: Pavement, name: str, **more: Any) -> HttpResponse:
    head = title_block_of(request.user, pavement, as_of=local_today(pavement))
    context = {"pavement": pavement, "head": head, "not_liable": NOT_LIABLE, **more}
    return render(request, f"load_panels/{name}.html", context)
