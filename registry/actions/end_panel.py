"""Take a panel out for good. Its name is not used again for another place."""

from datetime import date

from django.db import transaction

from registry.actions.end_spot import end_spot
from registry.actions.refresh_standing import refresh_after
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.gathering.layouts import plan_panel
from registry.models import Organisation, Panel, Person, Spot
from registry.plan.panels import Panel as PlanPanel


class PanelIsOver(DomainError):
    """The panel has ended already, or would end before it began."""


@transaction.atomic
def end_panel(
    panel: Panel, *, on: date, why: str, by: Person | None, organisation: Organisation | None
) -> Panel:
    """End a panel and the spots in it; every old record stays on it. Raises PanelIsOver."""
    stop_panel(panel, on=on, ended_as="removed")
    changes = {"exists_to_on": ["", on.isoformat()], "ended_as": ["", "removed"]}
    write_line(panel, "removed", by=by, organisation=organisation, why=why, changes=changes)
    end_spots_in(panel, on=on, why=f"panel removed on {on.isoformat()}", by=by, for_=organisation)
    refresh_after(panel)
    return panel


def stop_panel(panel: Panel, *, on: date, ended_as: str) -> None:
    """Store the first day without a panel. Of two people ending it at once, one is told."""
    if panel.exists_from_on and on <= panel.exists_from_on:
        raise PanelIsOver(f"{panel} began on {panel.exists_from_on.isoformat()}; it ends later.")
    living = Panel.objects.filter(pk=panel.pk, exists_to_on__isnull=True, void_at__isnull=True)
    if not living.update(exists_to_on=on, ended_as=ended_as):
        raise PanelIsOver(f"{panel} has ended already.")
    panel.refresh_from_db()


def end_spots_in(
    panel: Panel, *, on: date, why: str, by: Person | None, for_: Organisation | None
) -> list[Spot]:
    """End the living spots in a panel; they come back as they were."""
    there = plan_panel(panel)
    spots = Spot.objects.standing().filter(pavement=panel.pavement_id, ended_on__isnull=True)
    ended = [s for s in spots.select_related("panel") if _is_in(s, panel, there)]
    for spot in ended:
        end_spot(spot, on=on, why=why, by=by, organisation=for_)
    return ended


def _is_in(spot: Spot, panel: Panel, there: PlanPanel) -> bool:
    if spot.panel is not None and (spot.panel == panel or spot.panel.exists_to_on is None):
        return bool(spot.panel == panel)
    # Of a spot whose panel was cut since, and of one placed by numbers alone, the place decides.
    known = spot.right_m is not None and spot.up_m is not None
    return known and there.holds(spot.right_m or 0.0, spot.up_m or 0.0)
