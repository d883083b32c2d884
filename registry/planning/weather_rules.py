"""Whether surface, rain, temperature and notice let a method be done on the day itself.

Vacuum: dry, 24 h after rain. Wash: any surface, 40 °F (4.4 °C) and rising, no frost within 24 h.
Common practice, no source, but for this: a published trial found that regenerative air on a wet
surface made rates worse (Simpson, Winston, Tirpak, J. Env. Management 2021).
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from registry.planning.faults import PlanningError
from registry.planning.methods import DRY, WASHES, Method
from registry.planning.rules import Breach, Rule
from registry.planning.words import NotDecided

DRY_H = 24.0
LOWEST_WASH_C = (40 - 32) * 5 / 9
FROST_C = 0.0
NOTICE_H = 72
AFTER_TEST_DAYS = 14


@dataclass(frozen=True)
class Weather:
    """What is known at the hour of work; None is not known.

    surface_dry     looked at;  dry_hours  since the last rain ended, hours
    temperature_c   degC;  rising;  frost_within_24_h
    """

    surface_dry: bool | None = None
    dry_hours: float | None = None
    temperature_c: float | None = None
    rising: bool | None = None
    frost_within_24_h: bool | None = None


Answer = Breach | NotDecided


def weather_breaches(
    method: Method, weather: Weather, *, lowest_c: float | None = None
) -> tuple[Answer, ...]:
    """Return what is broken, and what cannot be told, for a method; nothing: it may be done.

    lowest_c  an order's own limit in place of 40 °F (4.4 °C)
    """
    found: list[Answer] = []
    if method in DRY:
        found += _dry(weather)
    if method in WASHES:
        found += _warm(weather, LOWEST_WASH_C if lowest_c is None else lowest_c)
    return tuple(found)


def _dry(weather: Weather) -> Iterator[Answer]:
    hours = weather.dry_hours
    if weather.surface_dry is False:
        yield Breach(Rule.DRY_SURFACE, "The surface is not dry.")
    elif hours is not None and hours < DRY_H:
        yield Breach(Rule.DRY_SURFACE, f"Rain ended {hours:.1f} h before; {DRY_H:g} h are needed.")
    elif weather.surface_dry is None or hours is None:
        missing = "whether the surface is dry" if hours is not None else "when the rain ended"
        yield NotDecided(f"Dry is not shown: it is not known {missing}.", (missing,))


def _warm(weather: Weather, lowest_c: float) -> Iterator[Answer]:
    degrees = weather.temperature_c
    if degrees is None:
        yield NotDecided("The temperature is not known.", ("temperature",))
    elif degrees < lowest_c:
        yield Breach(
            Rule.TEMPERATURE,
            f"{degrees:.1f} °C ({degrees * 1.8 + 32:.0f} °F); at least {lowest_c:.1f} °C "
            f"({lowest_c * 1.8 + 32:.0f} °F) and rising is needed.",
        )
    for holds, good, broken, missing in (
        (weather.rising, True, "The temperature is not rising.", "whether it gets warmer"),
        (weather.frost_within_24_h, False, "Frost within 24 h.", "whether frost comes within 24 h"),
    ):
        if holds is None:
            yield NotDecided(f"It is not known {missing}.", (missing,))
        elif holds is not good:
            yield Breach(Rule.TEMPERATURE, broken)


def notice_breach(
    notice_at: datetime | None, begins_at: datetime, hours: float = NOTICE_H
) -> Breach | None:
    """Return the breach of the notice for cars out, in elapsed hours. Both instants have a zone."""
    if notice_at is None:
        return Breach(Rule.NOTICE, f"No notice is given; {hours:g} h are needed.")
    if notice_at.tzinfo is None or begins_at.tzinfo is None:
        raise PlanningError("Notice and begin are instants of a time zone.")
    # By their stamps: instants of one zone would be subtracted by their clocks.
    given = (begins_at.timestamp() - notice_at.timestamp()) / 3600
    if given < hours:
        return Breach(Rule.NOTICE, f"The notice was {given:.1f} h before; {hours:g} h are needed.")
    return None


def after_test_breach(
    done_on: date, dry_days: frozenset[date], within_days: int = AFTER_TEST_DAYS
) -> Breach | None:
    """Return the breach where none of the days known to be dry follows within so many days."""
    last = done_on + timedelta(days=within_days)
    if any(done_on < day <= last for day in dry_days):
        return None
    return Breach(Rule.AFTER_TEST, f"No dry day for the after-test from {done_on} to {last}.")
