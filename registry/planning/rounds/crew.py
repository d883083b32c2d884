"""Who goes out, with what, and where they empty and fill.

Lengths in metres, axle load in kilograms, volumes in litres, times in whole minutes. `None` is a
limit that does not apply.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from registry.planning.rounds.faults import RoundError
from registry.planning.rounds.hours import ClockSpan, DaySpan, WeekSpan


@dataclass(frozen=True, kw_only=True)
class Machine:
    """What stands on the truck or trailer.

    methods       the methods of cleaning it can do, in the words of the orders
    head_width_m, speed_m_s, efficiency   of N21, see `site_time`
    hopper_l      debris it holds; water_l, wash water it carries; None where neither binds
    axle_kg, height_m, width_m, turning_m   heaviest axle, height, width, turning circle
    hose_m        how far it reaches from where it stands
    keeps_wash_water   its load is wet and goes only to a place that takes wash water
    """

    methods: frozenset[str]
    head_width_m: float = 1.5
    speed_m_s: float = 0.67
    efficiency: float = 0.65
    hopper_l: int | None = None
    water_l: int | None = None
    axle_kg: float | None = None
    height_m: float | None = None
    width_m: float | None = None
    turning_m: float | None = None
    hose_m: float | None = None
    keeps_wash_water: bool = False

    def __post_init__(self) -> None:
        if not self.methods:
            raise RoundError("The machine has no method of cleaning.")
        if min(self.head_width_m, self.speed_m_s) <= 0 or not 0 < self.efficiency <= 1:
            raise RoundError(
                "Head width and speed are above 0, the efficiency is above 0 and at most 1."
            )
        for litres in (self.hopper_l, self.water_l):
            if litres is not None and litres <= 0:
                raise RoundError("The hopper and the tank hold more than 0 litres.")


@dataclass(frozen=True, kw_only=True, eq=False)
class Crew:
    """People with a machine, who leave one depot and come back to it on the same shift.

    shifts     at most one for each day of the week; a day without one is no working day
    special    shifts on single days, instead of the week's: overtime, an early start
    breaks     fixed by the clock; work in hand rests meanwhile
    most_work_minutes   from leaving to coming back, less breaks, in one shift: what licence or
               contract allows
    day_cost   minutes of driving that sending the crew out at all is worth
    """

    ref: str
    depot: str
    machine: Machine
    shifts: tuple[WeekSpan, ...]
    special: Mapping[date, ClockSpan] = field(default_factory=dict)
    breaks: tuple[ClockSpan, ...] = ()
    holidays: frozenset[date] = frozenset()
    people: int = 2
    licences: frozenset[str] = frozenset()
    most_work_minutes: int | None = None
    day_cost: int = 60

    def __post_init__(self) -> None:
        weekdays = [shift.weekday for shift in self.shifts]
        if len(set(weekdays)) < len(weekdays):
            raise RoundError(f"Crew {self.ref} has two shifts on one day of the week.")
        if self.people < 1 or self.day_cost < 0:
            raise RoundError(f"Crew {self.ref}: at least one person, and no cost below 0.")

    def shift_on(self, on: date) -> ClockSpan | None:
        """Return the shift that begins on a day, holidays left aside; None on no working day."""
        if on in self.special:
            return self.special[on]
        return next((s.span for s in self.shifts if s.weekday == on.weekday()), None)


@dataclass(frozen=True, kw_only=True)
class DumpPlace:
    """Where debris is left. Unloading takes `minutes` and is over before it closes."""

    place: str
    minutes: int
    hours: tuple[WeekSpan, ...] = ()
    closed_on: frozenset[date] = frozenset()
    takes_wash_water: bool = False


@dataclass(frozen=True, kw_only=True)
class WaterPoint:
    """Where the tank is filled, on the days of the permit where one is needed."""

    place: str
    minutes: int
    hours: tuple[WeekSpan, ...] = ()
    closed_on: frozenset[date] = frozenset()
    permit: DaySpan | None = None
