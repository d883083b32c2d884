"""Store how deep the water stood in an observation well, or that it was dry."""

from django.db import transaction

from registry.actions.add_entry import add_entry
from registry.faults import DomainError
from registry.models import Organisation, Person, WellReading


class CannotReadWell(DomainError):
    """The well or the visit is of another pavement, or the water stands below the well."""


@transaction.atomic
def read_well(
    row: WellReading, *, by: Person | None, organisation: Organisation | None
) -> WellReading:
    """Store a reading; the same reading of a visit sent twice is one. Raises CannotReadWell."""
    if row.well.pavement_id != row.pavement_id:
        raise CannotReadWell(f"{row.well} is not a well of this pavement.")
    if row.visit is not None and row.visit.pavement_id != row.pavement_id:
        raise CannotReadWell(f"The {row.visit} was of another pavement.")
    depth = row.well.depth_mm
    if depth is not None and row.to_water_m is not None and row.to_water_m * 1000 > depth:
        raise CannotReadWell(
            f"{row.well} is {depth:g} mm ({depth / 25.4:.1f} in) deep; water cannot stand below "
            "its foot. Was it dry?"
        )
    if row.visit is not None and (same := _same(row)) is not None:
        return same
    return add_entry(row, by=by, organisation=organisation)


def _same(row: WellReading) -> WellReading | None:
    rows = WellReading.objects.standing().filter(visit=row.visit, well=row.well)
    return rows.filter(read_at=row.read_at, is_dry=row.is_dry, to_water_m=row.to_water_m).first()
