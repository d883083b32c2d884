"""Judged rows -> what each spot gave on each day: the mean of two runs, or a signed bound."""

from collections import defaultdict
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, datetime

from registry.measuring.days import DayResult, Run, day_result
from registry.measuring.reading import Method, Rate
from registry.measuring.spot_decline import Decline, SpotTest, decline_of, split_segments
from registry.models import InfiltrationTest, Spot, UseOfTest
from registry.units import System

USABLE = frozenset({UseOfTest.TREND, UseOfTest.BOUND})


@dataclass(frozen=True)
class SpotDay:
    """What one spot gave on one local day. `tests` are its usable rows, in order of run."""

    spot: Spot
    on: date
    at: datetime | None
    method: Method
    stratum: str
    result: DayResult
    tests: tuple[InfiltrationTest, ...]

    @property
    def values(self) -> tuple[tuple[float, str], ...]:
        """Return (mm/h, sign): the one result of the day, or each run where a bound forbids it."""
        if self.result.mm_h is not None:
            return ((self.result.mm_h, self.result.sign),)
        return tuple((rate.mm_h, rate.sign) for rate in self.result.shown)


def rate_of(row: InfiltrationTest) -> Rate | None:
    """Return the stored result of a row as a rate, or None where it has none."""
    if row.result_value is None or row.result_constant is None:
        return None
    return Rate(
        value=row.result_value,
        sign=row.result_sign,
        system=System(row.system),
        constant=row.result_constant,
        estimate=row.result_estimate,
    )


def spot_days(rows: Iterable[InfiltrationTest]) -> tuple[SpotDay, ...]:
    """Return the usable days of all spots, oldest first."""
    days: dict[tuple[int, date, str], list[InfiltrationTest]] = defaultdict(list)
    for row in rows:
        if row.use in USABLE and row.state == "done" and not row.is_void:
            days[row.spot_id, row.started_on, row.method].append(row)
    found = [_spot_day(part) for group in days.values() for part in _sides(group)]
    return tuple(sorted(found, key=lambda d: (d.on, d.spot.name, d.spot.pk, _side(d) == "after")))


def _sides(rows: list[InfiltrationTest]) -> list[list[InfiltrationTest]]:
    """Return a day's runs in order; those before and after a cleaning of that day stay apart."""
    if len(rows) == 1:
        return [rows]
    rows = sorted(rows, key=_by_run)
    after = [row for row in rows if row.reason == "after_cleaning"]
    if not after or all(row.reason != "before_cleaning" for row in rows):
        return [rows]
    return [[row for row in rows if row.reason != "after_cleaning"], after]


def _by_run(row: InfiltrationTest) -> tuple[int, float, int]:
    return (row.run, row.started_at.timestamp() if row.started_at else 0.0, row.pk)


def _spot_day(rows: list[InfiltrationTest]) -> SpotDay:
    runs = [
        Run(number=max(row.run, place), result=rate)
        for place, row in enumerate(rows, start=1)
        if (rate := rate_of(row)) is not None
    ]
    first = rows[0]
    return SpotDay(
        spot=first.spot,
        on=first.started_on,
        at=first.started_at,
        method=Method(first.method),
        stratum=first.stratum or first.spot.stratum,
        result=day_result(tuple(runs)),
        tests=tuple(rows),
    )


def spot_tests(days: Iterable[SpotDay]) -> tuple[SpotTest, ...]:
    """Return a spot's days as the trend takes them: one observation a day."""
    found = []
    for day in days:
        value = day.values[0] if day.values else None
        if value is not None:
            found.append(
                SpotTest(
                    on=day.on,
                    mm_h=value[0],
                    method=day.method,
                    sign=value[1],
                    concrete=_concrete(day.spot),
                    same_day=_side(day),
                )
            )
    return tuple(found)


def _concrete(spot: Spot) -> str:
    return spot.concrete_placed_on.isoformat() if spot.concrete_placed_on else ""


def _side(day: SpotDay) -> str:
    reasons = {row.reason for row in day.tests}
    if "after_cleaning" in reasons:
        return "after"
    return "before" if "before_cleaning" in reasons else ""


def declines_of_spot(
    days: Iterable[SpotDay],
    restorative_on: Iterable[date],
    action_on: Callable[[date], float | None],
    today: date,
) -> tuple[Decline, ...]:
    """Return N6 for each stretch between restorative cleanings of one spot, oldest first.

    The stretch that still runs is set against the action level of today; one that ended against
    the level of the day of its last test, which is what it was running towards.
    """
    days = list(days)
    segments, _ = split_segments(spot_tests(days), list(restorative_on))
    running = segments[-1:] if all(d.spot.ended_on is None for d in days) else ()
    return tuple(
        decline_of(s, action_on(today if s in running else s.tests[-1].on)) for s in segments
    )
