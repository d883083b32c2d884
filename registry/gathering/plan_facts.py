"""What a plan says beside its picture, as lines of label and text."""

from datetime import date

from registry.gathering.facts import Fact, facts_of
from registry.models import Plan
from registry.plan.areas import by_panels
from registry.plan.layout import Layout
from registry.plan.lengths import unit_name, write_length
from registry.units import Kind, System, show

PLAN_FIELDS: tuple[tuple[str, Kind | None], ...] = (
    ("kind", None),
    ("drawn_on", None),
    ("drawn_by", None),
    ("scale", None),
    ("datum", None),
    ("up", None),
    ("second_mark", None),
    ("check_length_m", Kind.LENGTH),
    ("check_length_name", None),
    ("width_m", Kind.LENGTH),
    ("offset_from", None),
    ("square_m", Kind.LENGTH),
    ("datum_lost_on", None),
    ("misfit_m", Kind.LENGTH),
)
ONLY_WHERE_SO = ("width_m", "offset_from", "square_m", "datum_lost_on", "misfit_m")


def plan_facts(plan: Plan, system: System) -> tuple[Fact, ...]:
    """Return the facts of a plan, its ties among them."""
    fields = [
        pair
        for pair in PLAN_FIELDS
        if pair[0] not in ONLY_WHERE_SO or getattr(plan, pair[0]) not in (None, "")
    ]
    ties = "; ".join(
        f"{_as_taped(tie['distance_m'], Kind.LENGTH, system)} to {tie['to']}" for tie in plan.ties
    )
    few = "" if ties else "not filled in yet"
    if 0 < len(plan.ties) < 2:
        ties += " (two are needed to find the datum again)"
    return (*facts_of(plan, fields, system, AS_TAPED), Fact("ties", ties, few))


def _as_taped(metres: float, _: Kind, system: System) -> str:
    return f"{write_length(metres, system)} {unit_name(system)}"


AS_TAPED = dict.fromkeys(("check_length_m", "width_m", "square_m", "misfit_m"), _as_taped)
"""Lengths by which a datum is found again: to the last figure that was written."""


def area_of(layout: Layout | None, *, on: date, system: System) -> str:
    """Return the panels of a day summed, or nothing where there are none."""
    if layout is None or not layout.panels_on(on):
        return ""
    return show(by_panels(layout.panels, on).area_m2 or 0.0, Kind.AREA, system)
