"""What was so around a ring test: the facts the doubts are raised from.

None always means not known, never no.
"""

from dataclasses import dataclass
from datetime import date, datetime

from registry.measuring.reading import Method
from registry.units import elapsed_seconds


@dataclass(frozen=True)
class Earlier:
    """An earlier test at the same spot, on another day.

    on     local day;  at  aware instant, None where no clock was written
    mm_h   its rate, None where none was given;  sign  "" or that of a bound
    """

    on: date
    mm_h: float | None
    method: Method
    sign: str = ""
    at: datetime | None = None


@dataclass(frozen=True)
class Surroundings:
    """Everything known beside the readings.

    on, at                      local day and aware instant of the start
    run                         number of this run at this spot on this day, from 1
    seconds_after_last_run      from the end of the run before it on that day
    prewet_again                the second run was given its own prewet
    pavement_age_days           from placing
    rain_within_24h             whether rain ended less than 24 h before
    standing_water, frost, leaves_on, crack_in_ring, seal_leaking
    water_temperature_c         degC
    hours_since_wash            h, the last wash of the surface; None where none is known
    nearest_spot_m              to the nearest other spot tested within 24 h, m; None where none is
                                near enough to matter
    same_day_cleaning           "none", "ordered" (which came first is known), "order unknown"
    cleaning_since_last         whether a cleaning is logged since the last earlier test
    as_built_mm_h               accepted rate of this spot, mm/h
    earlier                     other days' tests at this spot, any order
    stated_mm_h                 the rate as printed on the sheet, in mm/h by the sheet's own unit
    marked_bucket               water known by marks on a bucket, not by a scale
    wait_seconds                from the end of the prewet to the start
    first_run_mm_h              usable number of the first run of that day, by the same method
    """

    on: date
    at: datetime | None = None
    run: int = 1
    seconds_after_last_run: float | None = None
    prewet_again: bool | None = None
    pavement_age_days: float | None = None
    rain_within_24h: bool | None = None
    standing_water: bool | None = None
    frost: bool | None = None
    leaves_on: bool | None = None
    crack_in_ring: bool | None = None
    seal_leaking: bool | None = None
    water_temperature_c: float | None = None
    hours_since_wash: float | None = None
    nearest_spot_m: float | None = None
    same_day_cleaning: str = "none"
    cleaning_since_last: bool | None = None
    as_built_mm_h: float | None = None
    earlier: tuple[Earlier, ...] = ()
    stated_mm_h: float | None = None
    marked_bucket: bool = False
    wait_seconds: float | None = None
    first_run_mm_h: float | None = None

    def __post_init__(self) -> None:
        if self.same_day_cleaning not in ("none", "ordered", "order unknown"):
            raise ValueError(f"same_day_cleaning: {self.same_day_cleaning!r}")

    def last_number(self, method: Method) -> Earlier | None:
        """The latest earlier test of the same method that gave a plain number."""
        numbers = [
            e
            for e in self.earlier
            if e.mm_h is not None and e.sign == "" and e.method is method and e.on < self.on
        ]
        return max(numbers, key=lambda e: e.on, default=None)

    def within_24h(self) -> bool | None:
        """Whether a test at this spot on another day lies under 24 h back; None if not shown."""
        shown: bool | None = False
        for other in self.earlier:
            days = (self.on - other.on).days
            if not 1 <= days <= 2:
                continue
            if self.at is not None and other.at is not None:
                if 0 <= elapsed_seconds(other.at, self.at) < 86_400:
                    return True
            elif days == 1:
                shown = None
        return shown
