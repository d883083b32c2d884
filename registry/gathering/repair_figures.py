"""How much a repair is, and what it costs (N34), in the unit of its price."""

from registry.faults import DomainError
from registry.models import Repair
from registry.placing.faults import NotGiven
from registry.placing.repair_quantity import RepairQuantity, repair_quantity
from registry.units import System

FT2, FT = 0.3048**2, 0.3048
IN_UNIT = {
    "ft2": ("m2", FT2, "ft²"),
    "m2": ("m2", 1.0, "m²"),
    "ft": ("m", FT, "ft"),
    "m": ("m", 1.0, "m"),
}
"""Unit of a price to the column, the factor and the sign."""


def quantities_of(row: Repair, system: str) -> RepairQuantity | NotGiven:
    """Return the extent as measured and as squared with both amounts.

    Without a price the extents stand in `system`. A reason where one of them is missing.
    """
    code = row.price_unit or _unit_of(row, System(system))
    column, factor, sign = IN_UNIT[code]
    measured = getattr(row, f"measured_{column}")
    squared = getattr(row, f"squared_{column}")
    if measured is None or squared is None:
        return NotGiven(f"The extent as measured and as squared is needed, both in {sign}.")
    try:
        return repair_quantity(measured / factor, squared / factor, sign, row.unit_price)
    except DomainError as fault:
        return NotGiven(fault.message)


def _unit_of(row: Repair, system: System) -> str:
    is_area = row.measured_m2 is not None or row.squared_m2 is not None
    if system is System.SI:
        return "m2" if is_area else "m"
    return "ft2" if is_area else "ft"
