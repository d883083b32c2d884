"""The panels a visit has to tell of: walked, or not seen and why."""

from collections.abc import Mapping
from datetime import date

from registry.gathering.layouts import current_plan, layout_on, panels_of_plan, plans_of
from registry.models import Panel, Pavement, Plan, PrintedSheet, Visit
from registry.models.panel import plan_order
from registry.plan import Layout


def plan_in_force(pavement: Pavement, day: date) -> Plan | None:
    """Return the plan in force on a day: the newest drawn by then, or the one there is."""
    plans = plans_of(pavement)
    drawn = (plan for plan in plans if plan.drawn_on is not None and plan.drawn_on <= day)
    return next(drawn, current_plan(pavement))


def panels_on(pavement: Pavement, day: date, plan: Plan | None = None) -> list[Panel]:
    """Return the panels of a plan that were there on a day, in the order of the plan."""
    plan = plan or plan_in_force(pavement, day)
    if plan is None:
        return []
    if plan == current_plan(pavement):
        rows = [panel for panel in panels_of_plan(pavement, plan) if panel.is_there_on(day)]
    else:
        rows = list(pavement.panels.standing().on_plan(plan).existing_on(day))
    return sorted(rows, key=lambda panel: plan_order(panel.name))


def panels_of_sheet(sheet: PrintedSheet, day: date) -> list[Panel]:
    """Return the panels that a printed sheet names, as they were on the day it was carried.

    Where the plan was drawn anew between the printing and that day, those it showed when printed.
    """
    if sheet.pavement is None or sheet.plan is None:
        return []
    there = panels_on(sheet.pavement, day, sheet.plan)
    return there or panels_on(sheet.pavement, sheet.printed_at.date(), sheet.plan)


def layout_of_sheet(sheet: PrintedSheet, system: str) -> Layout | None:
    """Return the layout that a printed sheet shows, that its places may be read on it."""
    if sheet.pavement is None or sheet.plan is None:
        return None
    return layout_on(sheet.plan, sheet.pavement, system=system)


def told_of(visit: Visit) -> dict[int, str]:
    """Return panel id -> "" where it was walked, or why it was not seen."""
    return {row.panel_id: row.why for row in visit.panels.all()}


def untold(visit: Visit, panels: list[Panel], told: Mapping[int, str] | None = None) -> list[Panel]:
    """Return the panels that the visit tells nothing of yet; `told` saves asking `told_of`."""
    told = told_of(visit) if told is None else told
    return [panel for panel in panels if panel.pk not in told]
