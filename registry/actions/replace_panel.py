"""Take out the concrete of a panel and place new concrete under the same name."""

from datetime import date

from django.db import transaction

from registry.actions.end_panel import end_spots_in, stop_panel
from registry.actions.refresh_standing import refresh_after
from registry.actions.write_journal import write_line
from registry.gathering.layouts import layout_of
from registry.models import Organisation, Panel, Person, Spot
from registry.models.choices import StratumKind

CARRIED = ("name", "right_m", "up_m", "width_m", "length_m", "corners", "kind")


@transaction.atomic
def replace_panel(
    panel: Panel,
    *,
    placed_on: date,
    why: str,
    by: Person | None,
    organisation: Organisation | None,
) -> Panel:
    """End a panel with its spots and return the new one of the same name.

    The old concrete keeps its record. Where a fixed point ended, a point "A4 new" begins on the
    new concrete with an as-built of its own: rates do not carry over. Raises PanelIsOver.
    """
    stop_panel(panel, on=placed_on, ended_as="replaced")
    new = Panel(
        pavement_id=panel.pavement_id,
        plan_id=panel.plan_id,
        section_id=panel.section_id,
        placed_on=placed_on,
        exists_from_on=placed_on,
        replaces=panel,
        entered_by=by,
        entered_for=organisation,
        **{name: getattr(panel, name) for name in CARRIED},
    )
    new.save(force_insert=True)
    changes = {"placed_on": [_day(panel.placed_on), placed_on.isoformat()]}
    write_line(panel, "replaced", by=by, organisation=organisation, why=why, changes=changes)
    write_line(new, "placed", by=by, organisation=organisation, why=why)
    reason = f"panel replaced on {placed_on.isoformat()}"
    ended = end_spots_in(panel, on=placed_on, why=reason, by=by, for_=organisation)
    for number, spot in enumerate((s for s in ended if s.is_fixed), start=1):
        _begin_anew(spot, new, number, by, organisation)
    layout_of(new.pavement)  # refuses what does not hold together
    refresh_after(new)
    return new


def _begin_anew(
    old: Spot, panel: Panel, number: int, by: Person | None, organisation: Organisation | None
) -> None:
    spot = Spot.objects.create(
        pavement_id=panel.pavement_id,
        panel=panel,
        name=f"{panel} new" if number == 1 else f"{panel} new {number}",
        # The same ground takes dirt the same way: the run-on edge must not be left without a spot.
        stratum=old.stratum or StratumKind.NEW_PANEL,
        place=old.place,
        right_m=old.right_m,
        up_m=old.up_m,
        concrete_placed_on=panel.placed_on,
        entered_by=by,
        entered_for=organisation,
    )
    write_line(spot, "added", by=by, organisation=organisation, why=f"in place of {old}")


def _day(day: date | None) -> str:
    return "" if day is None else day.isoformat()
