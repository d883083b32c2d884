"""Saw-cut a panel in two: C8 ends, C8a lies on the home side, C8b beyond the saw line."""

from collections.abc import Iterable
from datetime import date

from django.db import transaction

from registry.actions.end_panel import stop_panel
from registry.actions.refresh_standing import refresh_after
from registry.actions.split_defects import split_defects
from registry.actions.write_journal import write_line
from registry.gathering.layouts import layout_of, plan_panel
from registry.models import Defect, Organisation, Panel, Person
from registry.plan.panels import CutAcross
from registry.plan.panels import Panel as PlanPanel
from registry.plan.panels import cut_panel as cut_on_plan


@transaction.atomic
def cut_panel(
    panel: Panel,
    *,
    on: date,
    at_m: float,
    across: str,
    why: str,
    by: Person | None,
    organisation: Organisation | None,
    defects: Iterable[Defect] = (),
) -> tuple[Panel, Panel]:
    """End a panel and return its two parts; the concrete, its placing day and its spots go on.

    defects: those that a person says the saw line parted; all others stay on the old panel.
    at_m: where the saw line lies, right ("right") or up ("up") of the home corner, metres.
    Raises PlanError where it lies outside the panel, PanelIsOver where the panel is no more.
    """
    _, first, second = cut_on_plan(plan_panel(panel), on, at_m, CutAcross(across))
    stop_panel(panel, on=on, ended_as="cut")
    parts = (
        _stored(panel, first, on, by, organisation),
        _stored(panel, second, on, by, organisation),
    )
    names = " and ".join(part.name for part in parts)
    changes = {"exists_to_on": ["", on.isoformat()], "cut_into": ["", names]}
    write_line(panel, "cut", by=by, organisation=organisation, why=why, changes=changes)
    split_defects(defects, parts, on=on, by=by, organisation=organisation)
    layout_of(panel.pavement)  # refuses what does not hold together
    refresh_after(panel)
    return parts


def _stored(
    old: Panel,
    part: PlanPanel,
    on: date,
    by: Person | None,
    organisation: Organisation | None,
) -> Panel:
    row = Panel(
        pavement_id=old.pavement_id,
        plan_id=old.plan_id,
        section_id=old.section_id,
        name=part.name,
        right_m=part.right_m,
        up_m=part.up_m,
        width_m=part.width_m,
        length_m=part.length_m,
        corners=[list(point) for point in part.corners or ()],
        kind=old.kind,
        placed_on=old.placed_on,
        exists_from_on=on,
        cut_from=old,
        entered_by=by,
        entered_for=organisation,
    )
    row.save(force_insert=True)
    write_line(row, "added", by=by, organisation=organisation, why=f"cut from {old}")
    return row
