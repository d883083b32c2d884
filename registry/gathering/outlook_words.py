"""What an outlook says, in the words of pages and paper.

An estimate is no reading: rates are given to two figures, days over a year ahead to the month.
"""

import math
from datetime import date, timedelta
from decimal import Decimal

from registry.models import METHOD_CLASSES, Outlook
from registry.units import Kind, System, from_si, show_number, unit_sign
from registry.units import show as show_quantity

NOT_AHEAD = "not within ten years"
NOT_ENOUGH = "not enough: due at once"
NOT_YET = "Not decided: it comes with the next outlook."
LEAST_RATE = 0.1
"""Of either unit; an estimate below it is said to be under it, never 0."""
TO_THE_DAY = timedelta(days=365)
LEAST_LOSS = 0.005
"""A share a year that rounds to nothing."""
ASSUMED = "what it takes away is taken from published trials"


def rate_words(value_mm_h: float | None, system: System) -> str:
    """Return an estimated rate to two figures: "220 in/h", "8.4 in/h", "under 0.1 in/h"."""
    if value_mm_h is None:
        return "not decided"
    return f"{_figures(value_mm_h, system)} {unit_sign(Kind.RATE, system)}"


def between_words(low_mm_h: float | None, high_mm_h: float | None, system: System) -> str:
    """Return the ends of an interval, the unit once: "160 to 310 in/h"."""
    if low_mm_h is None or high_mm_h is None:
        return "not decided"
    return f"{_figures(low_mm_h, system)} to {rate_words(high_mm_h, system)}"


def _figures(value_mm_h: float, system: System) -> str:
    value = from_si(value_mm_h, Kind.RATE, system)
    if value < LEAST_RATE:
        return f"under {LEAST_RATE}"
    value = float(f"{value:.2g}")
    return show_number(value, 0 if value >= 10 else 1)


def money_words(amount: Decimal) -> str:
    """Return what an estimate costs to two figures: "650", "1200", "8.4"."""
    value = float(f"{amount:.2g}")
    return show_number(value, 0 if value >= 10 else 1)


def day_words(day: date | None, as_of: date) -> str:
    """Return the day to sweep by: within a year the day, later the month, as N6 has it."""
    if day is None:
        return NOT_AHEAD
    return f"{day:%Y-%m-%d}" if day - as_of <= TO_THE_DAY else f"{day:%Y-%m}"


def sweep_words(day: date | None, as_of: date) -> str:
    """Return the day to sweep by, and whether what it waits for is there already."""
    already = ", already reached" if day is not None and day <= as_of else ""
    return f"{day_words(day, as_of)}{already}"


def then_words(p_below: float | None, day: date | None, as_of: date) -> str:
    """Return until when a cleaning today would last."""
    if p_below is None:
        return "not decided"
    return NOT_ENOUGH if day is not None and day <= as_of else day_words(day, as_of)


def loss_words(slope_per_yr: float | None) -> str:
    """Return the loss a year that a slope of ln rate makes; never 0 %."""
    if slope_per_yr is None:
        return "not known"
    if slope_per_yr <= 0:
        return "none shown"
    loss = 1 - math.exp(-slope_per_yr)
    return "under 1 %" if loss < LEAST_LOSS else f"{100 * loss:.0f} %"


def chance_words(value: float | None) -> str:
    """Return a chance or share: "under 1 %", "12 %", "over 99 %"; never a bare 0 or 1."""
    if value is None:
        return "not decided"
    if value < 0.01:
        return "under 1 %"
    return "over 99 %" if value > 0.99 else f"{100 * value:.0f} %"


def share_words(expected: float | None, low: float | None, high: float | None) -> str:
    """Return a share with its 80 % interval, once only where all three read the same."""
    said = [chance_words(value) for value in (expected, low, high)]
    return said[0] if len(set(said)) == 1 else f"{said[0]}, 80 % interval {said[1]} to {said[2]}"


def share_facts(outlook: Outlook) -> tuple[tuple[str, str], ...]:
    """Return what part of the surface is reckoned to lie below, by stratum and of the whole."""
    away = share_words(outlook.share_below, outlook.share_below_low, outlook.share_below_high)
    found = [("share below, of the surface away from any run-on edge", away)]
    if outlook.edge_share_below is not None:
        at_edge = share_words(
            outlook.edge_share_below, outlook.edge_share_below_low, outlook.edge_share_below_high
        )
        found.append(("share below, of the run-on edge", at_edge))
    whole = outlook.whole_share_why_not or NOT_YET
    if outlook.whole_share_below is not None:
        whole = share_words(
            outlook.whole_share_below,
            outlook.whole_share_below_low,
            outlook.whole_share_below_high,
        )
    return (*found, ("share below, of the whole surface by area", whole))


def outlook_facts(outlook: Outlook, system: System) -> tuple[str, ...]:
    """Return what the head of the outlook page says, one line each."""
    as_of = f"As of {outlook.as_of_on.isoformat()}"
    fit = f", from the {outlook.fit}" if outlook.fit else ""
    lines = [f"{as_of}{fit}."]
    if outlook.rate_mm_h is not None:
        rate = rate_words(outlook.rate_mm_h, system)
        ends = between_words(outlook.low_mm_h, outlook.high_mm_h, system)
        lines.append(f"Rate today, the surface as a whole: about {rate}, 80 % interval {ends}.")
    if outlook.why_not:
        return (*lines, outlook.why_not)
    place = f", decided by spot {outlook.sweep_by_place}" if outlook.sweep_by_place else ""
    level = show_quantity(outlook.action_rate_mm_h or 0.0, Kind.RATE, system, digits=1)
    day = sweep_words(outlook.sweep_by_on, outlook.as_of_on)
    lines += [
        f"Sweep by: {day}{place}; "
        f"the first day on which the chance below {level}, not cleaned further, reaches "
        f"{chance_words(outlook.risk)}.",
        f"Chance below {level}, the surface as a whole: {chance_words(outlook.p_below)}"
        f"{_worst(outlook)}.",
    ]
    if outlook.share_below is not None:
        lines += [f"{name[0].upper()}{name[1:]}: {said}" for name, said in share_facts(outlook)]
    if outlook.is_beyond_sweeping:
        lines.append("Sweeping is no longer enough somewhere: even after the best method the "
                     "chance of being below is at least a half.")  # fmt: skip
    return tuple(lines)


def _worst(outlook: Outlook) -> str:
    if not outlook.worst_place:
        return ""
    return (
        f"; at the worst place, spot {outlook.worst_place}: {chance_words(outlook.worst_p_below)}"
    )


def after_cleaning(outlook: Outlook, system: System) -> tuple[tuple[str, ...], ...]:
    """Return what each method would do today: method, rate, interval, chances below, then by."""
    return tuple(
        (
            METHOD_CLASSES[one["method"]],
            rate_words(one["rate_mm_h"], system),
            between_words(one["low_mm_h"], one["high_mm_h"], system),
            f"{chance_words(one['p_below'])}; {chance_words(one.get('worst_p_below'))}",
            then_words(one["p_below"], read_day(one["sweep_by_on"]), outlook.as_of_on),
        )
        for one in outlook.by_method
    )


def read_day(day: date | str | None) -> date | None:
    """Return a day as it is stored beside other plain values."""
    return date.fromisoformat(day) if isinstance(day, str) else day


def short_today(outlook: Outlook) -> frozenset[str]:
    """Return the methods after which, today, the worst place would be due again at once.

    How often they must clean is worked out for a place that they have long kept clean.
    """
    days = {one["method"]: read_day(one["sweep_by_on"]) for one in outlook.by_method}
    return frozenset(name for name, day in days.items() if day and day <= outlook.as_of_on)


def since_words(count: int) -> str:
    """Say how many tests and cleanings came in after the fit was made, "" for none."""
    if not count:
        return ""
    came = "1 test or cleaning" if count == 1 else f"{count} tests and cleanings"
    return (
        f"{came} of this pavement came in after that fit was made. The numbers here count "
        f"{'it' if count == 1 else 'them'}; what wears and cleans all pavements of the pool is "
        "worked out anew within a day."
    )


def untried(outlook: Outlook) -> frozenset[str]:
    """Return the methods that no test of the fit follows: what they take away was assumed."""
    found = outlook.fit.recoveries if outlook.fit else []
    return frozenset(one["name"] for one in found if one.get("cleanings") == 0)


def untried_words(outlook: Outlook) -> str:
    """Say which methods' gains are assumed, "" where a test follows each."""
    guessed = untried(outlook)
    names = [METHOD_CLASSES[m["method"]] for m in outlook.by_method if m["method"] in guessed]
    if not names:
        return ""
    return f"No test of this pool follows a cleaning by {', '.join(names)}: {ASSUMED}."
