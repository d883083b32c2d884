"""How often each method must clean to hold the action level, and what that costs a year."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from registry.models import METHOD_CLASSES, Organisation, Outlook, Pavement, Price


@dataclass(frozen=True)
class Upkeep:
    """One method. `interval_yr` is None where it does not hold, or `why_not` says why not known.

    price          of one cleaning; None where no price is entered
    cost_per_year  price over interval; the cheapest that holds is proposed
    """

    method: str
    words: str
    interval_yr: float | None
    price: Decimal | None
    currency: str
    cost_per_year: Decimal | None
    why_not: str = ""


def upkeep_of(
    pavement: Pavement, outlook: Outlook, payer: Organisation | None, *, on: date
) -> list[Upkeep]:
    """Return every method, the cheapest that holds first, those without a price after."""
    prices = {}
    if payer is not None:
        for price in Price.objects.filter(organisation=payer).standing().on(on):
            prices[price.method_class] = price
    found = [_upkeep(pavement, by, prices.get(by["method"])) for by in outlook.by_method]
    return sorted(found, key=_cheapest_first)


def _upkeep(pavement: Pavement, by: dict[str, object], price: Price | None) -> Upkeep:
    interval = by.get("interval_yr")
    interval_yr = float(interval) if isinstance(interval, float | int) and interval > 0 else None
    amount = _amount(price, pavement.area_m2)
    method = str(by["method"])
    return Upkeep(
        method=method,
        words=METHOD_CLASSES[method],
        interval_yr=interval_yr,
        price=amount,
        currency=price.currency if price else "",
        cost_per_year=_per_year(amount, interval_yr),
        why_not=_why_not(interval_yr, price, pavement.area_m2),
    )


def _amount(price: Price | None, area_m2: float | None) -> Decimal | None:
    if price is None or area_m2 is None:
        return None
    return max(price.at_least, price.per_m2 * Decimal(repr(area_m2))).quantize(Decimal("0.01"))


def _per_year(amount: Decimal | None, interval_yr: float | None) -> Decimal | None:
    if amount is None or interval_yr is None:
        return None
    return (amount / Decimal(repr(interval_yr))).quantize(Decimal("0.01"))


def _why_not(interval_yr: float | None, price: Price | None, area_m2: float | None) -> str:
    if interval_yr is None:
        return "No interval of it holds the action level."
    if price is None:
        return "No price is entered."
    return "" if area_m2 is not None else "The area is not known."


def _cheapest_first(upkeep: Upkeep) -> tuple[bool, Decimal, float]:
    cost = upkeep.cost_per_year
    return (cost is None, cost or Decimal(0), -(upkeep.interval_yr or 0.0))
