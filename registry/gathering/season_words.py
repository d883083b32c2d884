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


def draw_season(plan: SeasonPlan, size_mm: tuple[float, float]) -> Drawing:
    """Draw the months of a season. Raises DrawingError where there is no room."""
    months = [
        MonthRisk(m.risk.first_on, m.risk.without_plan, m.risk.with_plan, m.risk.crew_days)
        for m in plan.months
    ]
    return season_chart(months, size_mm=size_mm)


def season_cells(plan: SeasonPlan, system: System) -> tuple[tuple[str, ...], ...]:
    """Return the table, a row of words a month in the order of HEADS."""
    return tuple(_cells(month, plan.currency, system) for month in plan.months)


def _cells(month: SeasonMonth, currency: str, system: System) -> tuple[str, ...]:
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
        NOTHING_LEFT if more is None else f"{expected(more)} pavement-months",
    )


def _cost(month: SeasonMonth, currency: str) -> str:
    if not month.orders:
        return "none"
    known = f"{currency}{month.cost:,.2f}".replace(",", "\u202f")
    if month.unpriced == month.orders:
        return "no price"
    return f"{known}, {month.unpriced} without a price" if month.unpriced else known


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
