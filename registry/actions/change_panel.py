"""Add a panel to a plan or put its measures right; the plan has to hold together afterwards."""

from collections.abc import Mapping

from django.db import transaction

from registry.actions.add_entry import add_entry
from registry.actions.correct_entry import correct_entry
from registry.faults import DomainError
from registry.gathering.layouts import current_plan, layout_of
from registry.models import Organisation, Panel, Person
from registry.models.entry import Change
from registry.plan.panels import read_panel_name


class NoPlan(DomainError):
    """There is no plan to put a panel on."""


@transaction.atomic
def add_panel(panel: Panel, *, by: Person | None, organisation: Organisation | None) -> Panel:
    """Store one more panel. Raises NoPlan, PlaceError (its name) and PlanError (an overlap)."""
    plan = current_plan(panel.pavement)
    if plan is None:
        raise NoPlan("Draw a plan first: outline, joints counted, datum chosen.")
    panel.name = str(read_panel_name(panel.name))
    panel.plan = plan
    add_entry(panel, by=by, organisation=organisation)
    layout_of(panel.pavement)  # refuses what does not hold together
    return panel


@transaction.atomic
def correct_panel(
    panel: Panel,
    *,
    changes: Mapping[str, Change],
    why: str,
    by: Person | None,
    organisation: Organisation | None,
) -> Panel:
    """Correct a panel by a line. Raises PlanError where it would then lie on another."""
    correct_entry(panel, changes=changes, why=why, by=by, organisation=organisation)
    layout_of(panel.pavement)
    panel.refresh_from_db()
    return panel
