"""Rows of a plan and its panels -> the layout that places are worked out on."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any

from registry.faults import DomainError
from registry.models import Panel, Pavement, Plan, PlanKind
from registry.models.together import together
from registry.once import is_page_open, keep, kept
from registry.plan.datum import Datum, Tie
from registry.plan.features import Feature, FeatureKind
from registry.plan.layout import Layout
from registry.plan.panels import Panel as PlanPanel
from registry.plan.panels import PanelKind, read_panel_name
from registry.plan.squares import Squares
from registry.plan.stations import Baseline, OffsetFrom
from registry.units import System

_PANEL_KIND = {
    "full": PanelKind.FULL,
    "closing": PanelKind.CLOSING_PIECE,
    "around": PanelKind.AROUND_FIXTURE,
}


def plans_of(pavement: Pavement) -> tuple[Plan, ...]:
    """Return the plans of a pavement, the one in force first."""
    return kept(("plans", pavement.pk), lambda: tuple(pavement.plans.standing().newest_first()))


def keep_plans(pavement: Pavement, plans: Iterable[Plan], panels: Iterable[Panel]) -> None:
    """Keep plans and standing panels that were fetched together, each with its `cut_from`."""
    newest_first = tuple(sorted(plans, key=lambda plan: -plan.number))
    keep(("plans", pavement.pk), newest_first)
    for plan in newest_first[:1]:
        of_plan = tuple(p for p in panels if p.plan_id is None or p.plan_id == plan.pk)
        keep(("panels", plan.pk), of_plan)


def link_cuts(panels: Iterable[Panel]) -> dict[int, Panel]:
    """Give each of a pavement's panels the one it was cut from; return all by their ids."""
    named = {panel.pk: panel for panel in panels}
    for panel in named.values():
        panel.cut_from = named.get(panel.cut_from_id) if panel.cut_from_id else None
    return named


def fetch_plans(pavement: Pavement) -> None:
    """Fetch plans and panels by one question, for a page that shows the plan in force."""
    if is_page_open():
        plans, panels = together(pavement.plans.standing(), pavement.panels.standing())
        link_cuts(panels)
        keep_plans(pavement, plans, panels)


def current_plan(pavement: Pavement) -> Plan | None:
    """Return the plan in force, or None where nobody has drawn one."""
    return next(iter(plans_of(pavement)), None)


def panels_of_plan(pavement: Pavement, plan: Plan) -> tuple[Panel, ...]:
    """Return the panels of a plan, those that are no more included, each with its `cut_from`.

    Panels that name no plan are on the one in force.
    """
    rows = pavement.panels.standing().select_related("cut_from").order_by("pk")
    is_in_force = plan == current_plan(pavement)
    of_plan = rows.on_plan(plan) if is_in_force else rows.filter(plan=plan)
    return kept(("panels", plan.pk), lambda: tuple(of_plan))


def plan_on(pavement: Pavement, day: date) -> Plan | None:
    """Return the plan that was in force on a day; the first one for days before any was drawn."""
    plans = plans_of(pavement)
    drawn = (plan for plan in plans if plan.drawn_on is None or plan.drawn_on <= day)
    return next(drawn, plans[-1] if plans else None)


def layout_of(pavement: Pavement, *, system: System | str | None = None) -> Layout | None:
    """Return the layout of the plan in force, or None where there is none to place things on.

    `system` is the one its places are written in; the pavement's own sheet system by default.
    """
    plan = current_plan(pavement)
    if plan is None:
        return None
    panels = panels_of_plan(pavement, plan)
    return assemble_layout(plan, panels, pavement, system or pavement.sheet_system)


def layout_on(
    plan: Plan, pavement: Pavement, *, system: System | str | None = None
) -> Layout | None:
    """Return the layout of one plan, an old one too: old sheets still read true on theirs."""
    panels = panels_of_plan(pavement, plan)
    return assemble_layout(plan, panels, pavement, system or pavement.sheet_system)


@dataclass(frozen=True)
class FoundLayout:
    """A layout, or in `trouble` why the plan gives none; neither where nothing is drawn."""

    layout: Layout | None
    trouble: str = ""


def find_layout(
    pavement: Pavement, plan: Plan | None = None, *, system: System | str | None = None
) -> FoundLayout:
    """Return the layout of a plan (the one in force) for a page that is shown with or without it.

    A plan stored before a rule, or by hand, may not hold together: its page says so in words.
    """
    plan = plan or current_plan(pavement)
    if plan is None:
        return FoundLayout(None)
    try:
        return FoundLayout(layout_on(plan, pavement, system=system))
    except DomainError as fault:
        return FoundLayout(None, fault.message)


def assemble_layout(
    plan: Plan, panels: Iterable[Panel], pavement: Pavement, system: System | str
) -> Layout | None:
    """Return the layout of given rows; no query is made."""
    plan_panels = tuple(plan_panel(p) for p in panels)
    baseline = _baseline(plan) if plan.kind == PlanKind.STATIONS else None
    squares = _squares(plan) if plan.kind == PlanKind.SQUARES else None
    if not (plan_panels or baseline or squares):
        return None
    return Layout(
        system=System(system),
        datum=_datum(plan, pavement),
        panels=plan_panels,
        baseline=baseline,
        squares=squares,
        outline=_points(plan.outline),
        features=tuple(_feature(f) for f in plan.features),
        number=plan.number,
        drawn_on=plan.drawn_on,
    )


def plan_panel(row: Panel) -> PlanPanel:
    """Return a panel of the plan for a row."""
    name = read_panel_name(row.name)
    return PlanPanel(
        letter=name.letter,
        number=name.number,
        suffix=name.suffix,
        right_m=row.right_m,
        up_m=row.up_m,
        width_m=row.width_m,
        length_m=row.length_m,
        corners=_points(row.corners) or None,
        exists_from=row.exists_from_on,
        exists_to=row.exists_to_on,
        placed_on=row.placed_on,
        kind=_PANEL_KIND[row.kind],
        cut_from=row.cut_from.name if row.cut_from else "",
    )


def _datum(plan: Plan, pavement: Pavement) -> Datum:
    lon, lat = pavement.datum_lon, pavement.datum_lat
    return Datum(
        description=plan.datum,
        ties=tuple(Tie(distance_m=t["distance_m"], to=t["to"]) for t in plan.ties),
        second_mark=plan.second_mark,
        check_length_m=plan.check_length_m,
        lonlat=None if lon is None or lat is None else (lon, lat),
        bearing_of_up_deg=pavement.bearing_of_up_deg,
        up_toward=plan.up,
    )


def _baseline(plan: Plan) -> Baseline | None:
    if len(plan.baseline) < 2:
        return None
    return Baseline(
        points=_points(plan.baseline),
        offset_from=OffsetFrom(plan.offset_from or OffsetFrom.LEFT_EDGE),
        width_m=plan.width_m,
    )


def _squares(plan: Plan) -> Squares | None:
    if not plan.outline or not plan.square_m:
        return None
    right = max(p[0] for p in plan.outline)
    up = max(p[1] for p in plan.outline)
    return Squares(_count(right, plan.square_m), _count(up, plan.square_m), plan.square_m)


def _count(reach_m: float, side_m: float) -> int:
    return max(1, math.ceil(round(reach_m / side_m, 6)))


def _points(pairs: list[list[float]]) -> tuple[tuple[float, float], ...]:
    return tuple((float(x), float(y)) for x, y in pairs)


def _feature(stored: dict[str, Any]) -> Feature:
    points = [(float(stored["right_m"]), float(stored["up_m"]))]
    if stored.get("to"):
        right_m, up_m = stored["to"]
        points.append((float(right_m), float(up_m)))
    return Feature(
        kind=FeatureKind(str(stored["kind"])), name=str(stored["name"]), points=tuple(points)
    )
