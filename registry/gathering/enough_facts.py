"""Cleanings, tests, cores and loads -> the facts of the six rules of "no longer enough"."""

from collections.abc import Sequence
from datetime import date, timedelta

from registry.gathering.clogged_strip import StripWidth
from registry.gathering.condition import AFTER_DAYS
from registry.gathering.due_rows import DueRows
from registry.gathering.gains import GainAtSpot, days_by_spot, gains_among
from registry.gathering.load_rates import load_rates
from registry.gathering.readings import PavementReadings, gather_readings, rain_within_24_h
from registry.gathering.spot_days import SpotDay
from registry.measuring import Gain, is_below
from registry.models import Cleaning
from registry.models.choices import Answer
from registry.planning.enough_facts import Aftermath, AfterTest, Core, EnoughFacts, Regained
from registry.planning.methods import HAS_JOINTS, WASHES, Method, SurfaceKind

Gains = dict[int, tuple[GainAtSpot, ...]]
"""Gains at spots by the id of the cleaning."""


class CleaningsTold:
    """What tests tell of the cleanings of one pavement, worked out once."""

    def __init__(self, rows: DueRows) -> None:
        self.done = [c for c in rows.cleanings if c.is_cleaning]
        self.restorative = [c for c in self.done if c.is_restorative]
        self.days = days_by_spot(rows.tests) if self.done or rows.spreads else {}
        self._gains: Gains = {}

    def gains(self, cleaning: Cleaning) -> tuple[GainAtSpot, ...]:
        """Return the gain of a cleaning at each spot it reached."""
        if cleaning.pk not in self._gains:
            self._gains[cleaning.pk] = gains_among(cleaning, self.days, self.restorative)
        return self._gains[cleaning.pk]


def enough_facts(
    rows: DueRows, told: CleaningsTold, surface: SurfaceKind, strip: StripWidth
) -> EnoughFacts:
    """Return the facts as of the day of the rows; the words of the answers are in SI."""
    action = rows.demand.on(rows.today).action_mm_h
    readings = gather_readings(rows.pavement.placed_on, rows.tests, rows.cleanings)
    gains = [(c, gain) for c in told.done for gain in told.gains(c)] if rows.spreads else []
    days = {spot: there.days for spot, there in told.days.items()}
    over_loads = load_rates(rows.spreads, rows.laid_panels, days, gains, action)
    return EnoughFacts(
        action_mm_h=action,
        after_tests=tuple(t for c in told.restorative for t in _after_tests(c, told, surface)),
        aftermaths=tuple(
            _aftermath(c, told, readings, action) for c in told.restorative if action is not None
        ),
        regained=tuple(r for c in told.restorative for r in _regained(c, told)),
        cores=_cores(rows),
        width=strip.result,
        no_width=strip.why,
        width_missing=strip.missing,
        loads=over_loads.loads,
        loads_placed=over_loads.placed,
        no_loads=over_loads.untold,
    )


def _cores(rows: DueRows) -> tuple[Core, ...]:
    """Return the cores of the concrete that is there: none out of a panel replaced since."""
    new_on = {panel.name: panel.placed_on for panel in rows.panels if panel.placed_on}
    closed = {Answer.YES: True, Answer.NO: False}
    return tuple(
        Core(
            row.number,
            row.fines_mm,
            closed.get(Answer(row.bottom_closed or Answer.NOT_KNOWN)),
            row.taken_on,
        )
        for row in rows.cores
        if row.panel not in new_on or new_on[row.panel] < row.taken_on
    )


def _after_tests(cleaning: Cleaning, told: CleaningsTold, surface: SurfaceKind) -> list[AfterTest]:
    """Return the tests so soon after a cleaning that they tell what it left."""
    until = cleaning.done_on + timedelta(days=AFTER_DAYS)
    found = []
    for gain in told.gains(cleaning):
        day = gain.after
        if day is None or day.on > until:
            continue
        mm_h, sign = min(day.values)
        found.append(
            AfterTest(
                cleaned_on=cleaning.done_on,
                spot=gain.spot.name,
                on=day.on,
                mm_h=mm_h,
                sign=sign,
                passes=cleaning.passes,
                is_best=is_best(cleaning.method, surface),
                dry=_is_dry(day),
            )
        )
    return found


def is_best(method: str, surface: SurfaceKind) -> bool:
    """Say whether a method is the best there is for a surface.

    Wash and high suction where fines sit in the matrix (Danz, Selbig, Buer 2020); with joints,
    joint stone out and washed stone in (common practice, no source).
    """
    return method == Method.JOINT_STONE if surface in HAS_JOINTS else method in WASHES


def _is_dry(day: SpotDay) -> bool | None:
    answers = [rain_within_24_h(test) for test in day.tests]
    return None if None in answers else not any(answers)


def _aftermath(
    cleaning: Cleaning, told: CleaningsTold, readings: PavementReadings, action: float | None
) -> Aftermath:
    """Return when it was last above and first below again, over the spots a cleaning reached.

    Only what was above after the cleaning can be below again; tests beyond the next restorative
    cleaning of the spot tell of that one.
    """
    above: list[date] = []
    below: list[date] = []
    for spot, there in told.days.items():
        if action is None or not readings.covers(cleaning, spot):
            continue
        later = [c for c in told.restorative if _follows(c, cleaning) and readings.covers(c, spot)]
        ends_on = min((c.done_on for c in later), default=date.max)
        mine = [d for d in there.days if _is_after(d, cleaning) and d.on < ends_on]
        first_below = _first_below_again(mine, action)
        above += [d.on for d in mine if _below(d, action) is False]
        below += [first_below] if first_below else []
    below_on = min(below, default=None)
    above = [on for on in above if below_on is None or on < below_on]
    return Aftermath(cleaning.done_on, max(above, default=None), below_on)


def _first_below_again(days: Sequence[SpotDay], action: float) -> date | None:
    """Return the first day below after one above, of one spot's days, oldest first."""
    was_above = False
    for day in days:
        below = _below(day, action)
        if below and was_above:
            return day.on
        was_above = was_above or below is False
    return None


def _below(day: SpotDay, action: float) -> bool | None:
    """Say whether a day lies below the level; its lowest value decides."""
    answers = [is_below(mm_h, sign, action) for mm_h, sign in day.values]
    if any(answers):
        return True
    return None if None in answers else False


def _is_after(day: SpotDay, cleaning: Cleaning) -> bool:
    same_day = any(t.reason == "after_cleaning" for t in day.tests)
    return day.on > cleaning.done_on or (day.on == cleaning.done_on and same_day)


def _follows(other: Cleaning, cleaning: Cleaning) -> bool:
    return other.pk != cleaning.pk and other.done_on > cleaning.done_on


def _regained(cleaning: Cleaning, told: CleaningsTold) -> list[Regained]:
    return [
        Regained(cleaning.done_on, gain.spot.name, gain.result.share, gain.result.share_sign)
        for gain in told.gains(cleaning)
        if isinstance(gain.result, Gain) and gain.result.share is not None
    ]
