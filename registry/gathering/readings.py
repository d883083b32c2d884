"""Rows of infiltration tests -> readings, what was so around them, doubts and use.

Everything here depends on the rows alone and never on the order in which they were entered: all
tests of a pavement are judged together, oldest first, so an older test typed in ten years late
changes what is said of the younger ones. Gather, then decide; applying is the actions' part.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from math import hypot

from registry.gathering.near_tests import NearTests
from registry.gathering.reached import CleaningsThere
from registry.gathering.spot_past import SpotPast
from registry.measuring.doubts import Doubt, find_doubts
from registry.measuring.reading import Ended, Method, NoRate, Rate, RingReading, compute_rate
from registry.measuring.surroundings import Earlier, Surroundings
from registry.measuring.use import Use, UseKind, decide_use
from registry.measuring.veil import ON_OTHERS, veil_doubts, veil_reason
from registry.models import Cleaning, InfiltrationTest, Spot
from registry.models.choices import Answer
from registry.units import Kind, System, elapsed_seconds, to_si

STATES_ORDER = frozenset({"before_cleaning", "after_cleaning"})
DAY = timedelta(days=1)


@dataclass(frozen=True)
class Judged:
    """What the readings of one row give: result, doubts and use."""

    result: Rate | NoRate
    doubts: tuple[Doubt, ...]
    use: Use

    def veiled(self) -> "Judged":
        """Return the same without what it tells of other entries than the run itself."""
        stored = [{"code": d.code, "message": d.message} for d in self.doubts]
        reason = veil_reason(self.use.reason, stored)
        return Judged(self.result, veil_doubts(self.doubts), replace(self.use, reason=reason))

    @property
    def rests_on_others(self) -> bool:
        """Say whether a doubt tells of other entries than the run itself."""
        return any(doubt.code in ON_OTHERS for doubt in self.doubts)


@dataclass(frozen=True)
class PavementReadings:
    """All that judging one pavement's tests needs; rows as read, no query is made from here."""

    placed_on: date | None
    tests: tuple[InfiltrationTest, ...]
    cleanings: tuple[Cleaning, ...]
    cleaned_panels: dict[int, frozenset[int]]
    missed_panels: dict[int, frozenset[int]]
    by_day: dict[date, NearTests]
    by_panel: dict[int | None, CleaningsThere] = field(default_factory=dict)

    def cleanings_at(self, spot: Spot) -> CleaningsThere:
        """Return the cleanings that went over a spot; all spots of a panel share them."""
        found = self.by_panel.get(spot.panel_id)
        if found is None:
            found = CleaningsThere.of([c for c in self.cleanings if self.covers(c, spot)])
            self.by_panel[spot.panel_id] = found
        return found

    def covers(self, cleaning: Cleaning, spot: Spot) -> bool:
        """Say whether a cleaning went over a spot; a missed panel keeps its last cleaning.

        A partial cleaning whose panels are not listed, or a spot whose panel is not known, is
        taken to have met: a cleaning that may have been there breaks a trend rather than not.
        """
        if spot.panel_id is not None and spot.panel_id in self.missed_panels[cleaning.pk]:
            return False
        listed = self.cleaned_panels[cleaning.pk]
        if cleaning.covers_all or not listed or spot.panel_id is None:
            return True
        return spot.panel_id in listed


def gather_readings(
    placed_on: date | None, tests: Iterable[InfiltrationTest], cleanings: Iterable[Cleaning]
) -> PavementReadings:
    """Return what judging needs; `tests` fetched with `spot`, `cleanings` with panels or parts."""
    rows = sorted(tests, key=_in_time)
    done = [c for c in cleanings if c.is_cleaning and not c.is_void]
    cleaned: dict[int, frozenset[int]] = defaultdict(frozenset)
    missed: dict[int, frozenset[int]] = defaultdict(frozenset)
    for cleaning in done:
        cleaned[cleaning.pk], missed[cleaning.pk] = cleaning.panels_told()
    by_day: dict[date, list[InfiltrationTest]] = defaultdict(list)
    for row in rows:
        by_day[row.started_on].append(row)
    return PavementReadings(
        placed_on=placed_on,
        tests=tuple(rows),
        cleanings=tuple(sorted(done, key=lambda c: (c.done_on, c.pk or 0))),
        cleaned_panels=cleaned,
        missed_panels=missed,
        by_day={day: NearTests(tests) for day, tests in by_day.items()},
    )


def _in_time(row: InfiltrationTest) -> tuple[date, bool, float, int, int]:
    at = row.started_at
    return (row.started_on, at is not None, at.timestamp() if at else 0.0, row.run, row.pk or 0)


def reading_of(row: InfiltrationTest) -> RingReading:
    """Return the readings of a row. Raises InvalidReading for numbers no test can have."""
    return RingReading(
        system=System(row.system),
        method=Method(row.method),
        ended=Ended(row.ended or Ended.SPOILED),
        ring=row.ring,
        water=row.water,
        seconds=row.seconds,
        water_left=row.water_left,
        prewet_water=row.prewet_water,
        prewet_seconds=row.prewet_seconds,
        ring_assumed=row.ring_is_assumed,
    )


def judge_readings(readings: PavementReadings) -> Iterator[tuple[InfiltrationTest, Judged]]:
    """Yield every test of a pavement with what is said of it, oldest first."""
    past: dict[int, SpotPast] = defaultdict(SpotPast)
    for row in readings.tests:
        if row.is_void or row.double_of_id is not None:
            yield row, _void(row)
            continue
        if row.state != "done":
            yield row, _not_done(row)
            continue
        reading = reading_of(row)
        here = past[row.spot_id]
        here.open_day(row.started_on)
        judged = _judge(row, reading, _surroundings(row, readings, here))
        yield row, judged
        usable, sign = _usable_number(judged), _sign(judged)
        here.add(row, Earlier(row.started_on, usable, reading.method, sign, row.started_at))


def _judge(row: InfiltrationTest, reading: RingReading, around: Surroundings) -> Judged:
    result = _unless_unclear(row, compute_rate(reading))
    doubts = find_doubts(reading, around)
    open_doubts = [d for d in doubts if not row.answers.get(d.code, {}).get("lifts")]
    use = decide_use(reading, result, open_doubts)
    if row.use_is_decided_by_person:
        use = Use(UseKind(row.use), row.use_code, row.use_reason)
    return Judged(result, doubts, use)


def _unless_unclear(row: InfiltrationTest, result: Rate | NoRate) -> Rate | NoRate:
    """A time that was written in a way that can be read twice is not one that nobody wrote."""
    written = row.written("seconds")
    if isinstance(result, Rate) or result.code != "time_missing" or "seconds" in row.empties:
        return result
    if not written:
        return result
    return NoRate("time_unclear", f"The time “{written}” can be read in more ways than one.")


def _void(row: InfiltrationTest) -> Judged:
    """Return what the readings give: a void run or a double stays readable, and counts nowhere."""
    why = row.void_why or "Written down twice; another entry of the same run counts."
    result = compute_rate(reading_of(row)) if row.state == "done" else NoRate("void", why)
    return Judged(result, (), Use(UseKind.VOID, "void" if row.is_void else "double", why))


def _not_done(row: InfiltrationTest) -> Judged:
    why = f"Not done: {row.not_done_why}" if row.state == "not_done" else "Planned."
    return Judged(NoRate("not_done", why), (), Use(UseKind.NOT_COMPUTED, "not_done", why))


def _usable_number(judged: Judged) -> float | None:
    if isinstance(judged.result, NoRate) or judged.use.kind is not UseKind.TREND:
        return None
    return judged.result.mm_h


def _sign(judged: Judged) -> str:
    return judged.result.sign if isinstance(judged.result, Rate) else ""


def _surroundings(
    row: InfiltrationTest, readings: PavementReadings, past: SpotPast
) -> Surroundings:
    covering = readings.cleanings_at(row.spot)
    run = max(row.run, len(past.same_day) + 1)
    return Surroundings(
        on=row.started_on,
        at=row.started_at,
        run=run,
        seconds_after_last_run=_seconds_after(past.same_day, row),
        prewet_again=row.prewet_seconds is not None if run == 2 else None,
        pavement_age_days=_age_days(row, readings.placed_on),
        rain_within_24h=rain_within_24_h(row),
        standing_water=_answer(row.standing_water),
        frost=_answer(row.frost),
        crack_in_ring=_answer(row.crack_in_ring),
        seal_leaking=_answer(row.seal_leaking),
        water_temperature_c=row.water_c,
        hours_since_wash=_hours_since_wash(row, covering),
        nearest_spot_m=_nearest_spot_m(row, readings),
        same_day_cleaning=_same_day_cleaning(row, covering),
        cleaning_since_last=_cleaned_since_last(row, past, covering),
        as_built_mm_h=past.as_built_mm_h,
        earlier=past.earlier,
        stated_mm_h=_stated_mm_h(row),
        marked_bucket=row.water_known_by == "bucket",
        wait_seconds=row.wait_seconds,
        first_run_mm_h=past.first_number_today(Method(row.method)),
    )


def _answer(word: str) -> bool | None:
    return {Answer.YES: True, Answer.NO: False}.get(word)  # type: ignore[call-overload]


def rain_within_24_h(row: InfiltrationTest) -> bool | None:
    """Return whether rain ended in the 24 h before; the clock of its end wins over a tick."""
    if row.rain_ended_at is not None and row.started_at is not None:
        return elapsed_seconds(row.rain_ended_at, row.started_at) < DAY.total_seconds()
    return _answer(row.rain_within_24_h)


def _age_days(row: InfiltrationTest, placed_on: date | None) -> float | None:
    placed = row.spot.concrete_placed_on or placed_on
    return None if placed is None else float((row.started_on - placed).days)


def _seconds_after(same_day: Sequence[InfiltrationTest], row: InfiltrationTest) -> float | None:
    if not same_day or row.started_at is None:
        return None
    last = same_day[-1]
    if last.started_at is None or last.seconds is None:
        return None
    return elapsed_seconds(last.started_at, row.started_at) - last.seconds


def _hours_since_wash(row: InfiltrationTest, cleanings: CleaningsThere) -> float | None:
    """Hours since the last wash; none for a test that says it is the one after the cleaning.

    A wash at the very instant of a test counts as after it, as in the model of decline.
    """
    last = cleanings.last_wash(row.started_on)
    if last is None or row.reason in STATES_ORDER:
        return None
    if row.started_at is not None and row.started_at == last.started_at:
        return None
    ended = last.ended_at or last.started_at
    if ended is not None and row.started_at is not None:
        hours = elapsed_seconds(ended, row.started_at) / 3600
        return hours if hours >= 0 else None
    days = (row.started_on - last.done_on).days
    return None if days == 0 else 24.0 * days


def _same_day_cleaning(row: InfiltrationTest, cleanings: CleaningsThere) -> str:
    same = cleanings.on(row.started_on)
    if not same:
        return "none"
    known = row.reason in STATES_ORDER or all(_has_order(row, c) for c in same)
    return "ordered" if known else "order unknown"


def _has_order(row: InfiltrationTest, cleaning: Cleaning) -> bool:
    return row.started_at is not None and cleaning.started_at is not None


def _cleaned_since_last(
    row: InfiltrationTest, past: SpotPast, cleanings: CleaningsThere
) -> bool | None:
    since = past.last_number_on
    if since is None:
        return None
    return cleanings.any_between(since, row.started_on)


def _nearest_spot_m(row: InfiltrationTest, readings: PavementReadings) -> float | None:
    """Return how far off the nearest other spot tested in the 24 h before is; None beyond reach.

    Only those that may be too near are looked at, so a day of a thousand spots is judged as fast
    for each as a day of ten.
    """
    right_m, up_m = row.spot.right_m, row.spot.up_m
    if right_m is None or up_m is None:
        return None
    days = (readings.by_day.get(day) for day in (row.started_on, row.started_on - DAY))
    near = [
        hypot(other.spot.right_m - right_m, other.spot.up_m - up_m)
        for tests in days
        if tests is not None
        for other in tests.around(right_m, up_m)
        if other.spot.right_m is not None and other.spot.up_m is not None
        if other.spot_id != row.spot_id and _within_24_h(other, row)
    ]
    return min(near, default=None)


def _within_24_h(other: InfiltrationTest, row: InfiltrationTest) -> bool:
    """Say whether another test took place in the 24 h up to this one; unknown clocks: same day."""
    if other.state != "done" or other.is_void or _in_time(other) > _in_time(row):
        return False
    if other.started_at is not None and row.started_at is not None:
        return 0 <= elapsed_seconds(other.started_at, row.started_at) < DAY.total_seconds()
    return other.started_on == row.started_on


def _stated_mm_h(row: InfiltrationTest) -> float | None:
    if row.stated_value is None:
        return None
    system = {"in/h": System.INCH_POUND, "mm/h": System.SI}.get(row.stated_unit)
    return None if system is None else to_si(row.stated_value, Kind.RATE, system)


def apply_judged(row: InfiltrationTest, judged: Judged, at: datetime) -> bool:
    """Write what was judged into the row (unsaved); say whether anything differs from before."""
    before = [getattr(row, name) for name in JUDGED_FIELDS]
    result, use = judged.result, judged.use
    rate = result if isinstance(result, Rate) else None
    row.result_value = rate.value if rate else None
    row.result_sign = rate.sign if rate else ""
    row.result_constant = rate.constant if rate else None
    row.result_rate_mm_h = rate.mm_h if rate else None
    row.result_estimate = rate.estimate if rate else None
    row.no_result_code = "" if isinstance(result, Rate) else result.code
    row.no_result_reason = "" if isinstance(result, Rate) else result.reason[:300]
    row.use = use.kind.value
    row.use_code = use.code
    row.use_reason = use.reason[:300]
    row.doubts = [
        {
            "code": d.code,
            "message": d.message,
            "mend": d.mend,
            "blocks_trend": d.blocks_trend,
            "blocks_acceptance": d.blocks_acceptance,
        }
        for d in judged.doubts
    ]
    row.has_open_doubts = any(d.code not in row.answers for d in judged.doubts)
    changed = before != [getattr(row, name) for name in JUDGED_FIELDS]
    if changed or row.computed_at is None:
        row.computed_at = at
    return changed


JUDGED_FIELDS = (
    "result_value",
    "result_sign",
    "result_constant",
    "result_rate_mm_h",
    "result_estimate",
    "no_result_code",
    "no_result_reason",
    "use",
    "use_code",
    "use_reason",
    "doubts",
    "has_open_doubts",
)
