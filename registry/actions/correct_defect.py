"""Correct a defect by a line; a corrected place moves its outline and its panel too."""

from collections.abc import Mapping

from django.db import transaction

from registry.actions.correct_entry import CannotBeCorrected, correct_entry
from registry.gathering.defect_place import find_defect
from registry.models import Defect, Organisation, Person
from registry.models.entry import Change
from registry.units import System


@transaction.atomic
def correct_defect(
    row: Defect,
    *,
    changes: Mapping[str, Change],
    system: System,
    why: str,
    by: Person | None,
    organisation: Organisation | None,
) -> Defect:
    """Correct a defect. Its place is read on the plan of the day it was first seen.

    Raises PlaceError where the place is not on it, CannotBeCorrected where a look lies before the
    day it is said to have been seen first.
    """
    wanted = dict(changes)
    stored = Defect.objects.select_related("pavement__site").get(pk=row.pk)
    first = wanted["first_seen_on"].value if "first_seen_on" in wanted else stored.first_seen_on
    if stored.observations.standing().filter(seen_on__lt=first).exists():
        raise CannotBeCorrected(f"There is a look at it from before {first}.")
    if "place" in wanted:
        place = wanted["place"]
        found = find_defect(stored.pavement, place.value, system=system, on=first)
        wanted["place"] = Change(found.place, place.value, place.seen, place.is_seen_known)
        fields = {n: v for n, v in found.fields.items() if n != "section" or v is not None}
        wanted |= {name: Change(value, "") for name, value in fields.items()}
    return correct_entry(  # type: ignore[return-value]
        row, changes=wanted, why=why, by=by, organisation=organisation
    )
