"""How much is repaired, and what it costs (N34): as measured, and squared to joints or saw lines.

Both are always shown, each times the price; what is billed follows from the agreement.
Money is decimal, rounded half up to the cent.
"""

import math
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from registry.placing.faults import ClaimError, NotGiven

CENT = Decimal("0.01")


@dataclass(frozen=True)
class RepairQuantity:
    """Extents in the unit of the price (ft2, m2, ft, m), and the two amounts."""

    unit: str
    measured: float
    squared: float
    measured_cost: Decimal | NotGiven
    squared_cost: Decimal | NotGiven


def repair_quantity(
    measured: float, squared: float, unit: str, unit_price: Decimal | None
) -> RepairQuantity:
    """N34. Raises ClaimError where the squared extent is smaller than the measured one."""
    if not all(math.isfinite(value) and value >= 0 for value in (measured, squared)):
        raise ClaimError("An extent cannot be below 0.")
    if squared < measured:
        raise ClaimError(
            f"Squared to joints or saw lines it cannot be smaller ({squared:g} {unit}) than as "
            f"measured ({measured:g} {unit})."
        )
    if unit_price is None:
        none = NotGiven("There is no price.")
        return RepairQuantity(unit, measured, squared, none, none)
    return RepairQuantity(
        unit, measured, squared, cost_of(measured, unit_price), cost_of(squared, unit_price)
    )


def cost_of(quantity: float, unit_price: Decimal) -> Decimal:
    """Quantity times price, to the cent."""
    if unit_price < 0:
        raise ClaimError("A price cannot be below 0.")
    return (Decimal(repr(quantity)) * unit_price).quantize(CENT, ROUND_HALF_UP)
