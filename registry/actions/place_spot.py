"""Place a fixed point, or put its place right."""

from collections.abc import Mapping
from datetime import date

from django.db import transaction

from registry.actions.add_entry import add_entry
from registry.actions.correct_entry import correct_entry
from registry.gathering.layouts import current_plan
from registry.gathering.placing import find_spot
from registry.models import Organisation, Person, Spot
from registry.models.entry import Change
from registry.units import System

PLACED = ("right_m", "up_m", "panel", "concrete_placed_on")


@transaction.atomic
def place_spot(
    spot: Spot,
    *,
    system: System,
    today: date,
    by: Person | None,
    organisation: Organisation | None,
) -> Spot:
    """Store a point for life, at the place written in its `place` (in `system`).

    While the datum is gone the place is marked as provisional. Raises PlaceError.
    """
    if spot.place:
        written = spot.place
        found = find_spot(spot.pavement, written, system=system, on=today)
        spot.place, spot.right_m, spot.up_m = found.place, found.right_m, found.up_m
        spot.panel = found.panel
        spot.concrete_placed_on = found.panel.placed_on if found.panel else None
        spot.as_written = {**spot.as_written, "place": written}
    plan = current_plan(spot.pavement)
    if plan is not None and plan.datum_lost_on is not None:
        gone = f"Place provisional: the datum was found gone on {plan.datum_lost_on.isoformat()}."
        spot.note = " ".join(part for part in (gone, spot.note) if part)
    return add_entry(spot, by=by, organisation=organisation)


@transaction.atomic
def correct_spot(
    spot: Spot,
    *,
    changes: Mapping[str, Change],
    system: System,
    today: date,
    why: str,
    by: Person | None,
    organisation: Organisation | None,
) -> Spot:
    """Correct a spot by a line; a new place moves its point on the plan too. Raises PlaceError."""
    wanted = dict(changes)
    place = wanted.get("place")
    if place is not None:
        stored = Spot.objects.get(pk=spot.pk)
        values: dict[str, object] = dict.fromkeys(PLACED)
        if place.value:
            found = find_spot(stored.pavement, place.value, system=system, on=today)
            day = found.panel.placed_on if found.panel else None
            values = dict(zip(PLACED, (found.right_m, found.up_m, found.panel, day), strict=True))
            wanted["place"] = Change(found.place, place.value, place.seen, place.is_seen_known)
        wanted |= {name: Change(value, "") for name, value in values.items()}
    return correct_entry(  # type: ignore[return-value]
        spot, changes=wanted, why=why, by=by, organisation=organisation
    )
