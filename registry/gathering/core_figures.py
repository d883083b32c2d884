"""Cores against the plan thickness and the approved density (N16)."""

from collections.abc import Iterable, Sequence

from registry.faults import DomainError
from registry.models import Core, PlacingDay
from registry.placing.cores import DensityCheck, density_check, length_deviation_mm
from registry.placing.faults import NotGiven
from registry.units import Kind, System, from_si

CoreRow = tuple[Core, float | None, DensityCheck | NotGiven]
"""A core, its length less the plan thickness in mm (None: not given), its density."""


def core_rows(
    cores: Iterable[Core], days: Sequence[PlacingDay], thickness_mm: float | None
) -> list[CoreRow]:
    """Return the cores with their deviations, by the limits of the first placing day seen."""
    day = days[0] if days else None
    plan = day.thickness_mm if day and day.thickness_mm else thickness_mm
    return [(core, _length(core, plan), core_density(core, day)) for core in cores]


def _length(core: Core, plan_mm: float | None) -> float | None:
    found = length_deviation_mm(core.length_mm, plan_mm)
    return None if isinstance(found, NotGiven) else found


def core_density(core: Core, day: PlacingDay | None) -> DensityCheck | NotGiven:
    """Return the density of a core against the approved one of its day."""
    if day is None:
        return NotGiven("The approved density is not on the record.")
    system = System(day.system)
    found, approved, tolerance = (
        None if value is None else round(from_si(value, Kind.DENSITY, system), 9)
        for value in (
            core.density_kg_m3,
            day.density_approved_kg_m3,
            day.density_tolerance_kg_m3,
        )
    )
    try:
        return density_check(found, approved, system, tolerance)
    except DomainError as fault:
        return NotGiven(fault.message)
