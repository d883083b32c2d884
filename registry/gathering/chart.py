"""Rows -> the chart of rates against time, the same on page and paper."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from registry.drawing.chart_data import (
    ActionLevel,
    CleaningMark,
    DeclineBand,
    Future,
    RateKind,
    RatePoint,
    RateSeries,
)
from registry.drawing.primitives import Drawing
from registry.drawing.rate_chart import rate_chart
from registry.gathering.demand import DemandRows
from registry.models import Cleaning, InfiltrationTest, Spot, UseOfTest
from registry.units import Kind, System, show

NEWEST = 400
"""Runs that a chart draws one by one; of older ones it draws the lowest."""

CHART_MM = (180.0, 92.0)
KIND_OF_SIGN = {"": RateKind.MEASURED, "<": RateKind.BELOW, ">": RateKind.ABOVE}


@dataclass(frozen=True)
class ChartRows:
    """The rows a chart is drawn from, as far as the viewer may see them."""

    tests: Sequence[InfiltrationTest]
    cleanings: Sequence[Cleaning]
    demand: DemandRows

    @cached_property
    def drawn(self) -> list[InfiltrationTest]:
        """Return the tests that a thinned chart draws."""
        return thinned(self.tests)

    @property
    def not_drawn(self) -> int:
        """Return how many tests with a number a thinned chart leaves out."""
        return sum(_is_drawn(t) for t in self.tests) - len(self.drawn)


def draw_rates(
    rows: ChartRows,
    *,
    today: date,
    system: System | str,
    size_mm: tuple[float, float] = CHART_MM,
    band: DeclineBand | None = None,
    future: Future | None = None,
    is_thinned: bool = False,
) -> Drawing:
    """Return the chart of rates against time; a page that thins it says how many it leaves out."""
    return rate_chart(
        rate_series(rows.drawn if is_thinned else rows.tests, System(system)),
        [
            CleaningMark(c.done_on, c.get_method_display(), c.is_restorative)
            for c in rows.cleanings
            if c.is_cleaning and not c.is_void
        ],
        action_levels(rows, today),
        size_mm=size_mm,
        system=System(system),
        today=today,
        band=band,
        future=future,
    )


def thinned(tests: Sequence[InfiltrationTest]) -> list[InfiltrationTest]:
    """Return the tests to draw where there are too many: no lowest value of a year is left out.

    The newest NEWEST, and of the older ones the lowest of each spot, year and kind: measured,
    below, above, only looked at. The page says how many are not drawn.
    """
    drawn = [t for t in tests if _is_drawn(t)]
    drawn.sort(key=lambda t: (t.started_on, t.pk), reverse=True)
    lowest: dict[tuple[int, int, str, bool], InfiltrationTest] = {}
    for row in drawn[NEWEST:]:
        kind = (row.spot_id, row.started_on.year, row.result_sign, row.use == UseOfTest.LOOKED_AT)
        kept = lowest.setdefault(kind, row)
        if _rate(row) < _rate(kept):
            lowest[kind] = row
    return [*drawn[:NEWEST], *lowest.values()]


def _is_drawn(row: InfiltrationTest) -> bool:
    return not (row.result_rate_mm_h is None or row.is_void or row.use == UseOfTest.VOID)


def _rate(row: InfiltrationTest) -> float:
    return row.result_rate_mm_h or 0.0


def rate_series(tests: Iterable[InfiltrationTest], system: System) -> list[RateSeries]:
    """Return one series for each spot: usable runs solid, runs only looked at hollow."""
    points: dict[Spot, list[RatePoint]] = {}
    for row in tests:
        if row.result_rate_mm_h is None or not _is_drawn(row):
            continue
        shown = show(row.result_rate_mm_h, Kind.RATE, system, sign=row.result_sign)
        hollow = row.use == UseOfTest.LOOKED_AT
        why = f", {row.use_reason}" if hollow else ""
        points.setdefault(row.spot, []).append(
            RatePoint(
                on=row.started_on,
                rate_mm_h=row.result_rate_mm_h,
                kind=KIND_OF_SIGN[row.result_sign],
                looked_at=hollow,
                title=f"{row.spot}, {row.started_on.isoformat()}: {shown}{why}",
            )
        )
    return [
        RateSeries(spot.name, tuple(sorted(found, key=lambda p: p.on)))
        for spot, found in sorted(points.items(), key=lambda pair: (pair[0].name, pair[0].pk))
    ]


def action_levels(rows: ChartRows, today: date) -> list[ActionLevel]:
    """Return the dated action levels from the first reading on; a day without one has no line."""
    first = min(
        [t.started_on for t in rows.tests] + [c.done_on for c in rows.cleanings], default=today
    )
    spans = rows.demand.spans(min(first, today), max(today, first))
    levels = []
    for span, following in zip(spans, [*spans[1:], None], strict=True):
        if span.action_mm_h is not None:
            source = span.criteria.source_document if span.criteria else ""
            levels.append(
                ActionLevel(span.action_mm_h, span.on, following.on if following else None, source)
            )
    return levels
