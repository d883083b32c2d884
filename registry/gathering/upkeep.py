"""How often each method must clean to hold the action level, and what that costs a year."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from registry.decline.sustainable import NO_PRICE
from registry.models import METHOD_CLASSES, Organisation, Outlook, Pavement, Price


@dataclass(frozen=True)
class Upkeep:
    """One method.

    interval_yr    None where it does not hold or is not known: `no_interval` says why
    is_longer      the true interval is longer than that many years
    price          of one cleaning of this pavement; None: `no_price` says why
    cost_per_year  price over interval
    is_proposed    the cheapest of those that hold and have a price
    """

    method: str
    words: str
    interval_yr: float | None
    is_longer: bool
    no_interval: str
    price: Decimal | None
    currency: str
    no_price: str
    cost_per_year: Decimal | None
    is_proposed: bool = False


def upkeep_of(
    pavement: Pavement, outlook: Outlook, payer: Organisation | None, *, on: date
) -> list[Upkeep]:
    """Return every method, the cheapest that holds first, those without a price after.

    Prices in several currencies cannot be compared: then none is proposed.
    """
    prices: dict[str, Price] = {}
    if payer is not None:
        rows = Price.objects.filter(organisation=payer).standing().on(on)
        prices = {price.method_class: price for price in rows.in_order()}
    return upkeep_at(pavement, outlook, prices)


def upkeep_at(pavement: Pavement, outlook: Outlook, prices: Mapping[str, Price]) -> list[Upkeep]:
    """Return every method as `upkeep_of` does, with prices of a day by class of method."""
    found = [_upkeep(pavement, by, prices.get(by["method"])) for by in outlook.by_method]
    found.sort(key=_cheapest_first)
    first = found[0] if found else None
    if (
        first is None
        or first.cost_per_year is None
        or len({p.currency for p in prices.values()}) > 1
    ):
        return found
    return [Upkeep(**(vars(first) | {"is_proposed": True})), *found[1:]]


def _upkeep(pavement: Pavement, by: dict[str, Any], price: Price | None) -> Upkeep:
    amount = _amount(price, pavement.area_m2)
    return Upkeep(
        method=by["method"],
        words=METHOD_CLASSES[by["method"]],
        interval_yr=by["interval_yr"],
        is_longer=by["interval_is_longer"],
        no_interval=by["no_interval"],
        price=amount,
        currency=price.currency if price else "",
        no_price="" if amount is not None else "The area is not known." if price else NO_PRICE,
        cost_per_year=_per_year(amount, by["interval_yr"]),
    )


def _amount(price: Price | None, area_m2: float | None) -> Decimal | None:
    if price is None or area_m2 is None:
        return None
    return max(price.at_least, price.per_m2 * Decimal(repr(area_m2))).quantize(Decimal("0.01"))


def _per_year(amount: Decimal | None, interval_yr: float | None) -> Decimal | None:
    if amount is None or interval_yr is None:
        return None
    return (amount / Decimal(repr(interval_yr))).quantize(Decimal("0.01"))


def _cheapest_first(upkeep: Upkeep) -> tuple[bool, Decimal, float]:
    cost = upkeep.cost_per_year
    return (cost is None, cost or Decimal(0), -(upkeep.interval_yr or 0.0))
