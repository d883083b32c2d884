"""The decline of one pavement as a curve with its band, for the chart on page and paper.

Between cleanings the effective age grows a year a year; a cleaning takes its share away. The
curve runs from the placing date, with what is known today: (a, k) given all readings, k >= 0; ahead
of today without further cleaning.
"""

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from registry.decline.outlook import Outlooks, outlooks_of, rates_at
from registry.decline.parameters import Parameters
from registry.decline.portfolio import CleaningLists, gather_portfolio
from registry.decline.records import Floats, Ints
from registry.drawing.chart_data import DeclineBand, Future, SpotLine
from registry.gathering.decline_records import gather_records
from registry.gathering.stored_fit import parameters_of
from registry.models import Outlook, Pavement

STEP_DAYS = 15
AHEAD_YEARS = 4
DAYS_A_YEAR = 365.25


@dataclass(frozen=True)
class Curve:
    """What the chart draws of the decline."""

    band: DeclineBand
    future: Future


def curve_of(pavement: Pavement, outlook: Outlook, *, today: date) -> Curve | None:
    """Return the curve of a pavement's own concrete and of its live spots, or None.

    None where the outlook has no numbers or the surface is not a day old.
    """
    if outlook.fit is None or outlook.rate_mm_h is None or pavement.placed_on is None:
        return None
    if today <= pavement.placed_on:
        return None
    parameters = parameters_of(outlook.fit)
    rows = gather_records([pavement.pk], on=today)
    gathered = gather_portfolio(rows.records, np.datetime64(today))
    outlooks = outlooks_of(gathered.portfolio, parameters)
    lives = [rows.lives[row] for row in gathered.pavement_row.tolist()]
    own = next(n for n, life in enumerate(lives) if life.placed_on == pavement.placed_on)
    last = max(outlook.sweep_by_on or today, today) + timedelta(days=365 * AHEAD_YEARS // 2)
    days = _days(pavement.placed_on, min(last, today + timedelta(days=365 * AHEAD_YEARS)))
    band = _band(outlooks, own, days, pavement.placed_on, parameters)
    lines = tuple(
        _spot_line(outlooks, len(lives) + nth, rows.spots[row][1], days, lives, parameters)
        for nth, row in enumerate(gathered.spot_row.tolist())
        if _is_live(outlooks, len(lives) + nth, rows.spots[row][2], today)
    )
    return Curve(
        band, Future(spot_lines=lines, crossing_on=outlook.sweep_by_on, crossing_words="sweep by")
    )


def _is_live(outlooks: Outlooks, place: int, ended_on: date | None, today: date) -> bool:
    return bool(outlooks.places.tests[place] > 0) and (ended_on is None or ended_on > today)


def _days(first: date, last: date) -> list[date]:
    count = max((last - first).days // STEP_DAYS, 1)
    return [first + timedelta(days=STEP_DAYS * n) for n in range(count + 1)]


def ages_along(lists: CleaningLists, which: int, years: Floats, recovery: Floats) -> Floats:
    """Return the effective age at so many years after placing, (n,), rising.

    which  the cleaning list; a cleaning at the very instant counts as after it
    """
    first, stop = int(lists.first[which]), int(lists.first[which + 1])
    at = np.cumsum(lists.gap[first:stop])
    left: list[float] = []
    age = 0.0
    for gap, method in zip(lists.gap[first:stop], lists.method[first:stop], strict=True):
        age = (age + gap) * (1 - recovery[method])
        left.append(age)
    passed: Ints = np.searchsorted(at, years, side="left")
    base = np.concatenate(([0.0], np.array(left)))[passed]
    since = years - np.concatenate(([0.0], at))[passed]
    return np.asarray(base + since)


def _rates(
    outlooks: Outlooks,
    place: int,
    which: int,
    days: list[date],
    placed_on: date,
    parameters: Parameters,
) -> tuple[Floats, Floats, Floats]:
    years = np.array([(day - placed_on).days / DAYS_A_YEAR for day in days])
    ages = ages_along(outlooks.portfolio.lists, which, years, parameters.recovery)
    joint = outlooks.places.joint.take(np.full(len(days), place))
    found = rates_at(joint, ages, outlooks.options)
    return found.rate, found.low, found.high


def _band(
    outlooks: Outlooks, own: int, days: list[date], placed_on: date, parameters: Parameters
) -> DeclineBand:
    middle, low, high = _rates(outlooks, own, own, days, placed_on, parameters)
    return DeclineBand(
        tuple(days), tuple(middle.tolist()), tuple(low.tolist()), tuple(high.tolist())
    )


def _spot_line(
    outlooks: Outlooks, place: int, name: str, days: list[date], lives: list, parameters: Parameters
) -> SpotLine:
    spot = place - len(lives)
    life = lives[int(outlooks.portfolio.spot_pavement[spot])]
    shown = [day for day in days if day >= life.placed_on]
    if len(shown) < 2:
        shown = [life.placed_on, days[-1]]
    which = int(outlooks.portfolio.spot_list[spot])
    middle, _, _ = _rates(outlooks, place, which, shown, life.placed_on, parameters)
    return SpotLine(name, tuple(shown), tuple(middle.tolist()))
