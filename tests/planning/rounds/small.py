"""Rounds small enough to be worked out by hand: places on one street, minutes apart."""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from registry.planning.rounds.crew import Crew, Machine
from registry.planning.rounds.hours import week
from registry.planning.rounds.order import Order
from registry.planning.rounds.plan import CrewDay, Plan, Stop, StopKind
from registry.planning.rounds.problem import Problem
from registry.planning.rounds.travel import Travel, travel_from_table

MONDAY = date(2026, 9, 14)
TUESDAY = MONDAY + timedelta(days=1)
ZONE = ZoneInfo("America/New_York")  # UTC-4 in September
AS_OF = datetime(2026, 9, 13, 12, tzinfo=UTC)
VACUUM, WASH = "full vacuum", "pressure wash and vacuum"


def street(**places: int) -> Travel:
    """Return times between places given as minutes along one street."""
    return travel_from_table(
        (a, b, abs(x - y)) for a, x in places.items() for b, y in places.items()
    )


STREET = street(yard=0, a=10, b=20, c=30, tip=40, tap=5)


def machine(**changes) -> Machine:
    return Machine(**{"methods": frozenset({VACUUM})} | changes)


def crew(ref: str = "north", **changes) -> Crew:
    """One who works Monday to Friday 07:00 to 15:00 without a break, if nothing else is said."""
    usual = {"depot": "yard", "machine": machine(), "shifts": week(range(5), time(7), time(15))}
    return Crew(**{"ref": ref, "day_cost": 0} | usual | changes)


def order(ref: str = "A", place: str = "a", **changes) -> Order:
    """An hour on site on Monday or Tuesday at any time."""
    usual = {
        "method": VACUUM,
        "service_minutes": 60,
        "earliest_on": MONDAY,
        "latest_on": TUESDAY,
        "prize": 1000,
    }
    return Order(**{"ref": ref, "place": place} | usual | changes)


def problem(*orders: Order, **changes) -> Problem:
    usual = {
        "first_on": MONDAY,
        "days": 5,
        "zone": ZONE,
        "as_of": AS_OF,
        "crews": (crew(),),
        "travel": STREET,
    }
    return Problem(orders=orders, **usual | changes)


def at(clock: str, on: date = MONDAY) -> datetime:
    """Return the instant of a clock time there, such as 07:10."""
    local = datetime.combine(on, time.fromisoformat(clock), tzinfo=ZONE)
    return local.astimezone(UTC)


def stop(ref: str, begins: str, ends: str, kind: StopKind = StopKind.WORK, on=MONDAY) -> Stop:
    return Stop(kind, ref, at(begins, on), at(ends, on))


def crew_day(leaves: str, *stops: Stop, returns: str, on=MONDAY, who: str = "north") -> CrewDay:
    return CrewDay(who, on, at(leaves, on), stops, at(returns, on))


def plan(*days: CrewDay, left_out=()) -> Plan:
    return Plan(days, tuple(left_out))
