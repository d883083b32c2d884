"""What an outlook says, in the words of pages and paper."""

from datetime import date

from registry.models import METHOD_CLASSES, Outlook
from registry.units import Kind, System, show

NOT_AHEAD = "not within ten years"
NOT_YET = "Not decided: it comes with the next outlook."


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
        rate, low, high = (
            _rate(value, system)
            for value in (outlook.rate_mm_h, outlook.low_mm_h, outlook.high_mm_h)
        )
        lines.append(f"Rate today, the surface as a whole: {rate}, 80 % interval {low} to {high}.")
    if outlook.why_not:
        return (*lines, outlook.why_not)
    place = f", decided by spot {outlook.sweep_by_place}" if outlook.sweep_by_place else ""
    level = show(outlook.action_rate_mm_h or 0.0, Kind.RATE, system, digits=1)
    day = outlook.sweep_by_on.isoformat() if outlook.sweep_by_on else NOT_AHEAD
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
    """Return what each method would do today: method, rate, interval, chance below, then by."""
    return tuple(
        (
            METHOD_CLASSES[one["method"]],
            _rate(one["rate_mm_h"], system),
            f"{_rate(one['low_mm_h'], system)} to {_rate(one['high_mm_h'], system)}",
            chance_words(one["p_below"]),
            _then_by(one["p_below"], one["sweep_by_on"]),
        )
        for one in outlook.by_method
    )


def _rate(value_mm_h: float | None, system: System) -> str:
    return "not decided" if value_mm_h is None else show(value_mm_h, Kind.RATE, system)


def _then_by(p_below: float | None, day: date | str | None) -> str:
    if p_below is None:
        return "not decided"
    return str(day) if day else NOT_AHEAD
