"""The decline of one pavement as a curve with its band, for the chart on page and paper.

Between cleanings the effective age grows a year a year; a cleaning takes its share away. The
curve runs from the placing date, with what is known today: (a, k) given all readings, k >= 0; ahead
of today without further cleaning, and dashed as if cleaned today by the best method.
"""

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from registry.decline.curve import decline_curve
from registry.decline.outlook import Outlooks, outlooks_of
from registry.decline.portfolio import gather_portfolio
from registry.decline.records import METHODS
from registry.drawing.chart_data import DeclineBand, Future, SpotLine
from registry.gathering.decline_records import arrange_records
from registry.gathering.decline_tables import DeclineTables
from registry.gathering.outlook_words import chance_words, day_words, untried
from registry.gathering.stored_fit import parameters_of
from registry.models import METHOD_CLASSES, Outlook, Pavement

STEP_DAYS = 15
AHEAD_YEARS = 4


@dataclass(frozen=True)
class Curve:
    """What the chart draws of the decline."""

    band: DeclineBand
    future: Future


def curve_of(
    pavement: Pavement, outlook: Outlook, *, today: date, tables: DeclineTables | None = None
) -> Curve | None:
    """Return the curve of a pavement's own concrete and of its live spots, or None.

    `tables` are those of the pavement's rows where they were fetched already.

    None where the outlook has no numbers or the surface is not a day old.
    """
    if outlook.fit is None or outlook.rate_mm_h is None or pavement.placed_on is None:
        return None
    if today <= pavement.placed_on:
        return None
    rows = arrange_records(tables or DeclineTables([pavement.pk]), on=today)
    gathered = gather_portfolio(rows.records, np.datetime64(today))
    outlooks = outlooks_of(gathered.portfolio, parameters_of(outlook.fit))
    lives = [rows.lives[row] for row in gathered.pavement_row.tolist()]
    own = next(n for n, life in enumerate(lives) if life.placed_on == pavement.placed_on)
    last = max(outlook.sweep_by_on or today, today) + timedelta(days=365 * AHEAD_YEARS // 2)
    days = _days(pavement.placed_on, min(last, today + timedelta(days=365 * AHEAD_YEARS)))
    owners = outlooks.portfolio.spot_pavement
    since = {life.placed_on: _Days.since(life.placed_on, days) for life in lives}
    lines = tuple(
        _spot_line(
            outlooks, len(lives) + nth, rows.spots[row][1], since[lives[owners[nth]].placed_on]
        )
        for nth, row in enumerate(gathered.spot_row.tolist())
        if _is_live(outlooks, len(lives) + nth, rows.spots[row][2], today)
    )
    future = Future(
        spot_lines=lines,
        after=_after(
            outlooks, own, [today, *(day for day in days if day > today)], untried(outlook)
        ),
        crossing_on=outlook.sweep_by_on,
        crossing_words=f"sweep by {day_words(outlook.sweep_by_on, outlook.as_of_on)}",
        crossing_means=_ring_means(outlook),
    )
    return Curve(_band(outlooks, own, days), future)


def _ring_means(outlook: Outlook) -> str:
    """The curves are middle values; the day is sooner, when the risk is reached."""
    place = f"at spot {outlook.sweep_by_place}" if outlook.sweep_by_place else "of the whole"
    return f"chance below {place} reaches {chance_words(outlook.risk)}"


def _after(
    outlooks: Outlooks, own: int, days: list[date], untried: frozenset[str]
) -> SpotLine | None:
    """The surface as if cleaned today by the method that takes most of the clogging away."""
    if len(days) < 2:
        return None
    best = METHODS[int(np.argmax(outlooks.parameters.recovery))]
    rates = decline_curve(outlooks, own, np.array(days, "datetime64[D]"), best).rates
    guessed = ", gain assumed" if best in untried else ""
    words = f"if cleaned today: {METHOD_CLASSES[best].lower()}{guessed}"
    return SpotLine(words, tuple(days), tuple(rates.rate.tolist()))


def _is_live(outlooks: Outlooks, place: int, ended_on: date | None, today: date) -> bool:
    return bool(outlooks.places.tests[place] > 0) and (ended_on is None or ended_on > today)


def _days(first: date, last: date) -> list[date]:
    count = max((last - first).days // STEP_DAYS, 1)
    return [first + timedelta(days=STEP_DAYS * n) for n in range(count + 1)]


def _band(outlooks: Outlooks, own: int, days: list[date]) -> DeclineBand:
    rates = decline_curve(outlooks, own, np.array(days, "datetime64[D]")).rates
    return DeclineBand(
        tuple(days),
        tuple(rates.rate.tolist()),
        tuple(rates.low.tolist()),
        tuple(rates.high.tolist()),
    )


@dataclass(frozen=True)
class _Days:
    """The days of the curves of all spots in one concrete."""

    shown: tuple[date, ...]
    column: np.ndarray

    @classmethod
    def since(cls, placed_on: date, days: list[date]) -> "_Days":
        shown = tuple(day for day in days if day >= placed_on)
        if len(shown) < 2:
            shown = (placed_on, days[-1])
        return cls(shown, np.array(shown, "datetime64[D]"))


def _spot_line(outlooks: Outlooks, place: int, name: str, days: _Days) -> SpotLine:
    rates = decline_curve(outlooks, place, days.column).rates
    return SpotLine(name, days.shown, tuple(rates.rate.tolist()))
