"""What a settlement costs, and each party's part of it.

Parts are percents that add up to 100. Amounts are decimal, to the cent; what rounding leaves over
goes to the party named last, so that the parts add up to the cost.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from registry.placing.faults import ClaimError
from registry.placing.repair_quantity import CENT, cost_of


@dataclass(frozen=True)
class SettlementLine:
    """Some panels at one price and one share-out.

    area            in the unit of the price
    share_percents  party to percent, in the order in which they are shown
    """

    panels: tuple[str, ...]
    area: float
    unit_price: Decimal
    share_percents: Mapping[str, Decimal]


@dataclass(frozen=True)
class SettledLine:
    """The line, its cost and each party's amount."""

    line: SettlementLine
    cost: Decimal
    amounts: Mapping[str, Decimal]


@dataclass(frozen=True)
class Settlement:
    """All lines with the sums over them."""

    lines: tuple[SettledLine, ...]
    area: float
    cost: Decimal
    amounts: Mapping[str, Decimal]


def settle(lines: Sequence[SettlementLine]) -> Settlement:
    """Work out every amount. Raises ClaimError where percents do not add up or a panel is twice."""
    if not lines:
        raise ClaimError("A settlement has at least one line.")
    seen: set[str] = set()
    for one in lines:
        if twice := seen & set(one.panels):
            raise ClaimError(f"Panel {min(twice)} stands in two lines.")
        seen |= set(one.panels)
    settled = tuple(_settled(one) for one in lines)
    parties = dict.fromkeys(party for one in lines for party in one.share_percents)
    amounts = {
        party: sum((one.amounts.get(party, Decimal(0)) for one in settled), Decimal(0))
        for party in parties
    }
    area = sum(one.area for one in lines)
    return Settlement(settled, area, sum((one.cost for one in settled), Decimal(0)), amounts)


def _settled(line: SettlementLine) -> SettledLine:
    percents = line.share_percents
    if any(percent < 0 for percent in percents.values()) or sum(percents.values()) != 100:
        raise ClaimError(f"The parts of {', '.join(line.panels)} have to add up to 100 %.")
    if not line.area > 0:
        raise ClaimError(f"{', '.join(line.panels)}: the area has to be above 0.")
    cost = cost_of(line.area, line.unit_price)
    amounts = {
        party: (cost * percent / 100).quantize(CENT, ROUND_HALF_UP)
        for party, percent in percents.items()
    }
    last = next(reversed(amounts))
    amounts[last] += cost - sum(amounts.values(), Decimal(0))
    return SettledLine(line, cost, amounts)
