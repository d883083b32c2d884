"""A second portfolio as rows of record files: invented here, by plain loops, with every odd case.

Nothing of `registry` makes it. A lot's name says what is odd about it.
"""

from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from functools import cache

import numpy as np

AS_OF = date(2026, 6, 30)
K_SI = 4_583_666_000  # mm/h, kg, mm, s: ASTM C1701/C1701M, from memory
RING_MM, WATER_KG = 300, 3.6
METHODS = ("broom", "regenerative_air", "vacuum", "wash_and_vacuum")
RECOVERY = dict(zip(METHODS, (0.2, 0.35, 0.5, 0.6), strict=True))
DRIVERS = {"run_on_edge": 0.2, "heavy_trees": 0.1, "winter_sand": 0.05, "bare_soil_run_on": 0.15}
MU_A, MU_K, SD_A, SD_K, TAU_A, TAU_K, SIGMA = 8.0, 0.38, 0.8, 0.12, 0.35, 0.08, 0.2
STOPPED_S, TOO_FAST_S = 1800.0, 4.0


@dataclass(frozen=True)
class Run:
    """One pour. ended: drained, stopped, too_fast. method: c1701 or quick_pour."""

    at: datetime
    seconds: float
    ended: str = "drained"
    method: str = "c1701"
    rain: bool = False
    void: bool = False

    @property
    def mm_h(self) -> float:
        return K_SI * WATER_KG / (RING_MM**2 * self.seconds)


@dataclass
class Place:
    name: str
    stratum: str
    runs: list[Run] = field(default_factory=list)


@dataclass(eq=False)
class Lot:
    """One surface from its placing on. claims: yes, no or nk by driver. skips: cleaning, place.

    life_of: the lot in which these panels were placed anew
    """

    ref: str
    placed_on: date
    claims: dict[str, str]
    action_mm_h: float | None = 254.0
    places: list[Place] = field(default_factory=list)
    cleanings: list[tuple[datetime, str]] = field(default_factory=list)
    skips: list[tuple[int, str]] = field(default_factory=list)
    life_of: str = ""


class Nature:
    """What rates really are: one lot's own loss, and the age of each place."""

    def __init__(self, lot: Lot, rng: np.random.Generator, lower: float = 0.0) -> None:
        self.lot, self.rng = lot, rng
        known = sum(DRIVERS[name] for name, said in lot.claims.items() if said == "yes")
        self.a = MU_A - lower + SD_A * rng.standard_normal()
        self.k = MU_K + known + SD_K * rng.standard_normal()
        self.own = {}
        for place in lot.places:
            edge = DRIVERS["run_on_edge"] if place.stratum == "run_on_edge" else 0.0
            self.own[place.name] = (
                self.a + TAU_A * rng.standard_normal(),
                self.k + edge + TAU_K * rng.standard_normal(),
            )

    def age(self, name: str, at: datetime) -> float:
        last, age = datetime.combine(self.lot.placed_on, time()), 0.0
        for nth, (when, method) in sorted(enumerate(self.lot.cleanings), key=lambda c: c[1]):
            if when < at and when >= last and (nth, name) not in self.lot.skips:
                age = (age + years_between(last, when)) * (1 - RECOVERY[method])
                last = when
        return age + years_between(last, at)

    def pour(self, place: Place, at: datetime, **odd: object) -> None:
        a, k = self.own[place.name]
        ln_mm_h = a - k * self.age(place.name, at) + SIGMA * self.rng.standard_normal()
        seconds = K_SI * WATER_KG / (RING_MM**2 * float(np.exp(ln_mm_h)))
        ended = "drained"
        if seconds > STOPPED_S:
            seconds, ended = STOPPED_S, "stopped"
        if seconds < TOO_FAST_S:
            seconds, ended = TOO_FAST_S, "too_fast"
        given = {"seconds": round(seconds, 1), "ended": ended, **odd}
        place.runs.append(Run(at, **given))  # type: ignore[arg-type]


def years_between(first: datetime, last: datetime) -> float:
    return (last - first).total_seconds() / 86_400 / 365.25


def noon(day: date, hour: int = 12, minute: int = 0) -> datetime:
    return datetime.combine(day, time(hour, minute))


@cache
def second_lots() -> tuple[Lot, ...]:
    """The same for every caller."""
    rng = np.random.default_rng(2026)
    lots = [_usual(f"L{n:02d}", rng) for n in range(1, 23)]
    for odd in (
        _many_stopped, _all_stopped, _too_fast, _cleaned_at_the_instant, _skipped_panel,
        _placed_anew, _wet_and_quick, _two_runs, _under_24_hours, _leap_days, _untested,
        _no_action_level, _placed_last_week,
    ):  # fmt: skip
        lots += odd(rng)
    return tuple(lots)


def _claims(rng: np.random.Generator) -> dict[str, str]:
    names = ("heavy_trees", "winter_sand", "bare_soil_run_on")
    return {name: str(rng.choice(["yes", "no", "no", "nk"])) for name in names}


def _lot(
    ref: str, rng: np.random.Generator, placed_on: date, strata: tuple[str, ...] = ("field",)
) -> Lot:
    places = [Place(f"T{n + 1}", stratum) for n, stratum in enumerate(strata)]
    return Lot(ref, placed_on, _claims(rng), places=places)


def _usual(ref: str, rng: np.random.Generator) -> Lot:
    placed_on = date(2014, 1, 1) + timedelta(days=int(rng.integers(0, 3600)))
    strata = ("run_on_edge", "field", "")[: int(rng.integers(1, 4))]
    lot = _lot(ref, rng, placed_on, strata)
    lot.action_mm_h = (254.0, 40.0, 5.0)[int(ref[1:]) % 3]
    days = (AS_OF - placed_on).days
    for _ in range(int(rng.poisson(0.6 * days / 365))):
        at = noon(placed_on + timedelta(days=int(rng.integers(30, days))), 9)
        lot.cleanings.append((at, str(rng.choice(METHODS))))
    nature = Nature(lot, rng)
    count = int(rng.integers(1, 4))
    for nth in range(count):
        on = placed_on + timedelta(days=int((nth + rng.uniform(0.1, 0.9)) * days / count))
        for place in lot.places:
            nature.pour(place, noon(on, int(rng.integers(7, 18)), 30))
    return lot


def _yearly(lot: Lot, nature: Nature, years: tuple[int, ...]) -> None:
    for year in years:
        for place in lot.places:
            nature.pour(place, noon(date(year, 5, 20), 10))


def _many_stopped(rng: np.random.Generator) -> list[Lot]:
    lot = _lot("many-stopped", rng, date(2015, 4, 1), ("run_on_edge", "field"))
    first, second = lot.places
    nature = Nature(lot, rng)
    nature.pour(second, noon(date(2017, 5, 1)), seconds=88.0, ended="drained")
    for place, year in ((first, 2021), (first, 2023), (second, 2024), (first, 2025)):
        nature.pour(place, noon(date(year, 5, 2)), seconds=STOPPED_S, ended="stopped")
    return [lot]


def _all_stopped(rng: np.random.Generator) -> list[Lot]:
    lot = _lot("all-stopped", rng, date(2016, 4, 1))
    nature = Nature(lot, rng)
    for year in (2022, 2024):
        nature.pour(lot.places[0], noon(date(year, 5, 2)), seconds=STOPPED_S, ended="stopped")
    return [lot]


def _too_fast(rng: np.random.Generator) -> list[Lot]:
    lot = _lot("too-fast", rng, date(2024, 9, 2), ("field", "wheel_path"))
    nature = Nature(lot, rng)
    nature.pour(lot.places[0], noon(date(2024, 9, 20)), seconds=TOO_FAST_S, ended="too_fast")
    nature.pour(lot.places[1], noon(date(2024, 9, 20)), seconds=11.5, ended="drained")
    nature.pour(lot.places[0], noon(date(2026, 5, 4)))
    return [lot]


def _cleaned_at_the_instant(rng: np.random.Generator) -> list[Lot]:
    lot = _lot("at-the-instant", rng, date(2018, 3, 5), ("run_on_edge", "field"))
    lot.cleanings += [(noon(date(2022, 5, 20), 10), "wash_and_vacuum")]
    _yearly(lot, Nature(lot, rng), (2021, 2022, 2024))
    return [lot]


def _skipped_panel(rng: np.random.Generator) -> list[Lot]:
    lot = _lot("skipped", rng, date(2017, 8, 8), ("field", "field"))
    lot.cleanings += [
        (noon(date(2020, 4, 2)), "vacuum"),
        (noon(date(2022, 4, 2)), "wash_and_vacuum"),
        (noon(date(2024, 4, 2)), "broom"),
    ]
    lot.skips += [(1, "T2"), (2, "T1")]
    _yearly(lot, Nature(lot, rng), (2021, 2023, 2025))
    return [lot]


def _placed_anew(rng: np.random.Generator) -> list[Lot]:
    old = _lot("placed-anew", rng, date(2016, 6, 1), ("run_on_edge", "field"))
    new = Lot("placed-anew/2", date(2022, 9, 1), old.claims, life_of=old.ref)
    new.places.append(Place("N1", "run_on_edge"))
    old.cleanings += [(noon(date(2020, 4, 2)), "vacuum"), (noon(date(2024, 4, 2)), "vacuum")]
    new.cleanings += old.cleanings[1:]
    _yearly(old, Nature(old, rng), (2019, 2021, 2025))
    _yearly(new, Nature(new, rng), (2023, 2025))
    return [old, new]


def _wet_and_quick(rng: np.random.Generator) -> list[Lot]:
    lot = _lot("wet-and-quick", rng, date(2019, 5, 6))
    place, nature = lot.places[0], Nature(lot, rng)
    nature.pour(place, noon(date(2021, 5, 3)))
    nature.pour(place, noon(date(2022, 5, 3)), seconds=900.0, rain=True)
    nature.pour(place, noon(date(2023, 5, 3)), seconds=20.0, method="quick_pour")
    nature.pour(place, noon(date(2024, 5, 3)), seconds=5000.0, void=True)
    nature.pour(place, noon(date(2025, 5, 3)))
    return [lot]


def _two_runs(rng: np.random.Generator) -> list[Lot]:
    lot = _lot("two-runs", rng, date(2018, 5, 6), ("field", "run_on_edge"))
    mean, bound = lot.places
    nature = Nature(lot, rng)
    for hour, seconds in ((9, 100.0), (10, 140.0), (11, 500.0)):
        nature.pour(mean, noon(date(2022, 5, 3), hour), seconds=seconds, ended="drained")
    nature.pour(bound, noon(date(2022, 5, 3), 9), seconds=STOPPED_S, ended="stopped")
    nature.pour(bound, noon(date(2022, 5, 3), 11), seconds=1500.0, ended="drained")
    nature.pour(bound, noon(date(2020, 5, 3), 9), seconds=600.0, ended="drained")
    nature.pour(bound, noon(date(2020, 5, 3), 11), seconds=STOPPED_S, ended="stopped")
    return [lot]


def _under_24_hours(rng: np.random.Generator) -> list[Lot]:
    lot = _lot("under-24-h", rng, date(2020, 5, 6))
    place, nature = lot.places[0], Nature(lot, rng)
    nature.pour(place, noon(date(2023, 5, 3), 15))
    nature.pour(place, noon(date(2023, 5, 4), 14), seconds=1200.0, ended="drained")
    nature.pour(place, noon(date(2025, 5, 3), 15))
    nature.pour(place, noon(date(2025, 5, 4), 15), seconds=333.0, ended="drained")
    return [lot]


def _leap_days(rng: np.random.Generator) -> list[Lot]:
    lot = _lot("leap-days", rng, date(2016, 2, 29), ("run_on_edge",))
    lot.cleanings += [(noon(date(2020, 2, 29), 8), "regenerative_air")]
    nature = Nature(lot, rng)
    for on in (date(2020, 2, 29), date(2024, 2, 29), date(2025, 3, 1)):
        nature.pour(lot.places[0], noon(on))
    return [lot]


def _untested(rng: np.random.Generator) -> list[Lot]:
    lot = _lot("untested", rng, date(2012, 7, 1), ())
    lot.cleanings += [(noon(date(2025, 4, 2)), "vacuum")]
    return [lot]


def _no_action_level(rng: np.random.Generator) -> list[Lot]:
    lot = _lot("no-action-level", rng, date(2019, 7, 1))
    lot.action_mm_h = None
    _yearly(lot, Nature(lot, rng), (2022, 2025))
    return [lot]


def _placed_last_week(rng: np.random.Generator) -> list[Lot]:
    lot = _lot("last-week", rng, AS_OF - timedelta(days=7))
    Nature(lot, rng).pour(lot.places[0], noon(AS_OF, 23, 59))
    return [lot]
