"""Draw a plan of a pavement. A new plan never overwrites the old one."""

from collections.abc import Mapping, Sequence
from datetime import date

from django.db import transaction
from django.utils import timezone

from registry.actions.add_entry import SET_BY_ACTIONS
from registry.actions.refresh_standing import refresh_after
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.gathering.layouts import assemble_layout, current_plan, layout_on
from registry.models import Organisation, Panel, Pavement, Person, Plan
from registry.plan.layout import Layout
from registry.plan.panels import letter_of
from registry.plan.renaming import from_mapping, renaming_by_place


class CannotDraw(DomainError):
    """The plan does not hold together, or would begin before the one it follows."""


def grid_of_panels(
    widths_m: Sequence[float], lengths_m: Sequence[float], *, placed_on: date | None = None
) -> list[Panel]:
    """Return unsaved panels: lanes A, B, C to the right, numbers 1, 2, 3 going up.

    widths_m: one for each lane. lengths_m: one for each number. Both in metres.
    """
    panels, right_m = [], 0.0
    for lane, width_m in enumerate(widths_m):
        up_m = 0.0
        for number, length_m in enumerate(lengths_m, start=1):
            panels.append(
                Panel(
                    name=f"{letter_of(lane)}{number}",
                    right_m=right_m,
                    up_m=up_m,
                    width_m=width_m,
                    length_m=length_m,
                    placed_on=placed_on,
                    exists_from_on=placed_on,
                )
            )
            up_m += length_m
        right_m += width_m
    return panels


def names_by_place(plan: Plan, panels: Sequence[Panel]) -> dict[str, str]:
    """Return old name -> new name for panels of the plan in force and of an unsaved one.

    Paired by the place of their middles, both ways; a person looks at the list before it counts.
    """
    plan.number = _next_number(plan.pavement)
    old, new, on = _old_layout(plan), _new_layout(plan, panels), _day(plan)
    if old is None or new is None:
        return {}
    return dict(renaming_by_place(old, new, on).pairs)


@transaction.atomic
def draw_plan(
    plan: Plan,
    *,
    panels: Sequence[Panel] = (),
    old_names: Mapping[str, str] | None = None,
    by: Person | None,
    organisation: Organisation | None,
) -> Plan:
    """Store a plan with the next number and its panels; the panels before it end that day.

    plan: unsaved, its pavement and `drawn_on` set. panels: unsaved, of a plan by panels.
    old_names: old name -> new name; every name has to be on its plan that day. The concrete goes
    on: a new panel keeps the placing day of the one its middle lies in. Raises CannotDraw,
    PlanError and PlaceError; nothing is stored then.
    """
    pavement = Pavement.objects.select_for_update().get(pk=plan.pavement_id)
    before = current_plan(pavement)
    plan.pavement, plan.number = pavement, _next_number(pavement)
    if before is not None and before.drawn_on and _day(plan) <= before.drawn_on:
        raise CannotDraw(
            f"Plan {before.number} was drawn on {before.drawn_on.isoformat()}; a later plan has a "
            "later date."
        )
    old, new = _old_layout(plan), _new_layout(plan, panels)
    if new is None:
        raise CannotDraw("A plan has panels, stations or squares; without one nothing has a place.")
    if old is not None and old_names:
        from_mapping(old, new, _day(plan), old_names)
    plan.old_names = dict(old_names or {})
    _store(plan, by, organisation)
    _end_old_panels(before, plan)
    _store_panels(plan, panels, old, is_first=before is None)
    names = f"{len(panels)} panels" if panels else ""
    changes = {"panels": ["", names]} if names else {}
    write_line(plan, "drawn", by=by, organisation=organisation, changes=changes)
    refresh_after(pavement)
    return plan


def _day(plan: Plan) -> date:
    if plan.drawn_on is None:
        raise CannotDraw("Say on which day the plan was drawn.")
    return plan.drawn_on


def _next_number(pavement: Pavement) -> int:
    # Void plans keep their numbers: a number on an old sheet never comes to mean another plan.
    last = Plan.objects.filter(pavement=pavement).order_by("-number").first()
    return 1 if last is None else last.number + 1


def _old_layout(plan: Plan) -> Layout | None:
    before = current_plan(plan.pavement)
    return None if before is None else layout_on(before, plan.pavement)


def _new_layout(plan: Plan, panels: Sequence[Panel]) -> Layout | None:
    return assemble_layout(plan, panels, plan.pavement, plan.pavement.sheet_system)


def _store(plan: Plan, by: Person | None, organisation: Organisation | None) -> None:
    plan.entered_by, plan.entered_for, plan.entered_at = by, organisation, timezone.now()
    plan.full_clean(exclude=SET_BY_ACTIONS)
    plan.save(force_insert=True)


def _end_old_panels(before: Plan | None, plan: Plan) -> None:
    if before is None:
        return
    there = plan.pavement.panels.on_plan(before)
    there.filter(plan__isnull=True).update(plan=before)
    living = plan.pavement.panels.standing().filter(plan=before, exists_to_on__isnull=True)
    living.update(exists_to_on=_day(plan), ended_as="redrawn")


def _store_panels(
    plan: Plan, panels: Sequence[Panel], old: Layout | None, *, is_first: bool
) -> None:
    for panel in panels:
        panel.pavement, panel.plan = plan.pavement, plan
        panel.entered_by, panel.entered_for = plan.entered_by, plan.entered_for
        if not is_first:
            panel.exists_from_on = _day(plan)
            panel.placed_on = _placed_on(panel, old, _day(plan)) or panel.placed_on
        panel.clean_fields(exclude=SET_BY_ACTIONS | {"pavement", "plan"})
    Panel.objects.bulk_create(panels, batch_size=200)


def _placed_on(panel: Panel, old: Layout | None, on: date) -> date | None:
    if old is None:
        return None
    middle = (panel.right_m + panel.width_m / 2, panel.up_m + panel.length_m / 2)
    there = old.panel_at(*middle, on)
    return None if there is None else there.placed_on
