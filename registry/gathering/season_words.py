"""The season's plan as words and a picture, the same on page and paper."""

from collections.abc import Iterator

from registry.drawing.primitives import Drawing
from registry.drawing.season_chart import MonthRisk, season_chart
from registry.gathering.season_plan import SeasonMonth, SeasonPlan
from registry.units import Kind, System, show

HEADS = (
    "month", "below without plan", "below with plan", "orders", "area", "crew-days", "cost",
    "one more crew-day spares",
)  # fmt: skip
NOTHING_LEFT = "no order it could hold"
NO_MORE = {
    "none_left": (
        "no order left",
        "No open order is without a day: one more crew-day has none to do.",
    ),
    "all_dated": (
        "no order left",
        "Each pavement with an order without a day has a dated one too: one more crew-day is not "
        "worked out for a second cleaning.",
    ),
    "no_time": (
        "not decided",
        "What one more crew-day spares is not decided: no order without a day has a time on site. "
        "It takes area, passes, and head width, speed and share of time at work of a machine that "
        "can do the method: of the crew that the order names, or entered for your side. What lies "
        "below with and without the plan needs no machine.",
    ),
    "no_chance": (
        "not decided",
        "What one more crew-day spares is not decided: no order without a day whose time on site "
        "is known is at a pavement with a chance by the fit.",
    ),
    "no_day": (
        "not decided",
        "What one more crew-day spares is not decided: no dated order has a time on site, and by "
        "those the length of a crew-day is told. Date an order whose area, passes and machine are "
        "known.",
    ),
}
"""By `SeasonPlan.why_no_more`: what stands in the table, and the sentence below it."""


def draw_season(plan: SeasonPlan, size_mm: tuple[float, float]) -> Drawing:
    """Draw the months of a season. Raises DrawingError where there is no room."""
    months = [
        MonthRisk(m.risk.first_on, m.risk.without_plan, m.risk.with_plan, m.risk.crew_days)
        for m in plan.months
    ]
    return season_chart(months, size_mm=size_mm)


def season_cells(plan: SeasonPlan, system: System) -> tuple[tuple[str, ...], ...]:
    """Return the table, a row of words a month in the order of HEADS."""
    nothing = NO_MORE[plan.why_no_more][0] if plan.why_no_more else NOTHING_LEFT
    return tuple(_cells(month, plan.currency, system, nothing) for month in plan.months)


def _cells(month: SeasonMonth, currency: str, system: System, nothing: str) -> tuple[str, ...]:
    risk = month.risk
    more = risk.one_more_avoids
    return (
        f"{risk.first_on:%Y-%m}",
        expected(risk.without_plan),
        expected(risk.with_plan),
        str(month.orders),
        show(month.area_m2, Kind.AREA, system) if month.area_m2 else "none",
        str(risk.crew_days),
        _cost(month, currency),
        nothing if more is None else f"{expected(more)} pavement-months",
    )


def _cost(month: SeasonMonth, currency: str) -> str:
    if not month.orders:
        return "none"
    known = f"{currency}{month.cost:,.2f}".replace(",", "\u202f")
    if month.unpriced == month.orders:
        return "no price"
    return f"{known}, {month.unpriced} unpriced" if month.unpriced else known


def expected(number: float) -> str:
    """Return an expected number of pavements to a hundredth; never a bare 0 for what is some."""
    return "under 0.01" if 0 < number < 0.005 else f"{number:.2f}"


def season_facts(plan: SeasonPlan) -> Iterator[str]:
    """Yield what the figures rest on, in sentences."""
    yield (
        f"{plan.decided} of {_count(plan.pavements, 'pavement')} kept have a chance by the fit of "
        "their pool; the others are in no figure here."
    )
    yield (
        f"{_count(plan.dated, 'order')} dated in this time, {plan.not_dated} open without a day. "
        f"The plan spares {expected(plan.spared)} pavement-months below the action level."
    )
    if plan.why_no_more:
        yield NO_MORE[plan.why_no_more][1]
    if plan.no_time:
        yield (
            f"The time on site of {_count(plan.no_time, 'open order')} is not known (area, passes "
            "or machine); no such order is looked at for one more crew-day."
        )
    yield (
        "Chances are those of the worst place of each pavement. One more crew-day holds as many "
        "minutes on site as the fullest tenth of those planned, filled with orders that have no "
        "day; it counts from its month on."
    )


def _count(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"
