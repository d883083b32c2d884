"""Crews and the places they drive to, as a round takes them; and why a crew goes on none."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, time, timedelta
from math import ceil

from registry.clock_hours import HourRow
from registry.gathering.round_places import RoundPlaces
from registry.models import Crew, DumpPlace, Machine, Organisation, Round, WaterPoint
from registry.planning.rounds import crew as pure
from registry.planning.rounds.hours import ClockSpan, DaySpan, WeekSpan

FIGURES = (("head_width_m", "head width"), ("speed_km_h", "speed at work"))


@dataclass(frozen=True)
class CrewRows:
    """Crews of an organisation that may go out, with their machine and depot."""

    crews: tuple[Crew, ...]
    not_ready: tuple[str, ...]


def crew_rows(organisation: Organisation) -> CrewRows:
    """Return the crews that may be planned, and in words why each of the others may not."""
    rows = Crew.objects.standing().filter(organisation=organisation)
    found, words = [], []
    for row in rows.select_related("machine", "depot").order_by("name", "pk"):
        why = _why_not_ready(row)
        if why:
            words.append(f"Crew “{row.name}” is not planned: {why}.")
        else:
            found.append(row)
    return CrewRows(tuple(found), tuple(words))


def _why_not_ready(row: Crew) -> str:
    if row.machine is None or row.machine.is_void:
        return "no machine is chosen"
    if row.depot is None or row.depot.is_void:
        return "no depot is chosen"
    missing = [words for name, words in FIGURES if getattr(row.machine, name) is None]
    return f"of its machine the {missing[0]} is not written" if missing else ""


def round_crews(row: Round, rows: Sequence[Crew], places: RoundPlaces) -> tuple[pure.Crew, ...]:
    """Return crews with shifts, extra shifts, breaks and days off within the days of a round."""
    organisation = row.organisation
    days_off = list(
        organisation.crew_holidays.standing().filter(
            first_on__lte=row.last_on, last_on__gte=row.first_on
        )
    )
    extra = list(organisation.extra_shifts.standing().filter(on__range=(row.first_on, row.last_on)))
    found = []
    for crew in rows:
        off = [h for h in days_off if h.crew_id in (None, crew.pk)]
        special = {
            shift.on: ClockSpan(shift.from_clock, shift.to_clock)
            for shift in extra
            if shift.crew_id == crew.pk
        }
        found.append(_crew(crew, places.name_of(crew.depot), special, _days(off, row)))  # type: ignore[arg-type]
    return tuple(found)


def _crew(
    crew: Crew, depot: str, special: dict[date, ClockSpan], holidays: frozenset[date]
) -> pure.Crew:
    hours = crew.licence_hours
    return pure.Crew(
        ref=crew.name,
        depot=depot,
        machine=_machine(crew.machine),  # type: ignore[arg-type]
        shifts=week_spans_of(crew.shifts),
        special=special,
        breaks=tuple(ClockSpan(clock_of(a), clock_of(b)) for a, b in crew.breaks),
        holidays=holidays,
        people=crew.people,
        licences=frozenset(crew.licences),
        most_work_minutes=None if hours is None else int(hours * 60),
    )


def _machine(row: Machine) -> pure.Machine:
    return pure.Machine(
        methods=frozenset(row.methods),
        head_width_m=row.head_width_m or 0,
        speed_m_s=(row.speed_km_h or 0) / 3.6,
        efficiency=row.efficiency or 1,
        hopper_l=None if row.hopper_m3 is None else int(row.hopper_m3 * 1000),
        water_l=None if row.water_tank_l is None else int(row.water_tank_l),
        axle_kg=row.axle_kg,
        height_m=row.height_m,
        width_m=row.width_m,
        turning_m=row.turning_m,
        hose_m=row.hose_m,
        keeps_wash_water=row.keeps_wash_water,
    )


def _days(off: Iterable, row: Round) -> frozenset[date]:
    days = (row.first_on + timedelta(days=n) for n in range(row.days))
    return frozenset(day for day in days if any(h.first_on <= day <= h.last_on for h in off))


def clock_of(text: str | int) -> time:
    """Return a clock time as stored: "07:00"."""
    return time.fromisoformat(str(text))


def week_spans_of(rows: Iterable[HourRow]) -> tuple[WeekSpan, ...]:
    """Return hours of the week as stored: rows of [weekday, from, to]."""
    return tuple(WeekSpan(int(d), ClockSpan(clock_of(a), clock_of(b))) for d, a, b in rows)


def dump_place(row: DumpPlace, name: str, minutes: int) -> pure.DumpPlace:
    """Return a dump place; `minutes` where nobody wrote how long unloading takes."""
    return pure.DumpPlace(
        place=name,
        minutes=minutes if row.unloading_min is None else ceil(row.unloading_min),
        hours=week_spans_of(row.hours),
        takes_wash_water=row.takes_wash_water,
    )


def water_point(row: WaterPoint, name: str, row_days: tuple[date, date]) -> pure.WaterPoint:
    """Return a water point; a permit with one end holds from or to the end of the round."""
    first, last = row.permit_from_on, row.permit_last_on
    permit = None
    if first is not None or last is not None:
        permit = DaySpan(
            first or min(row_days[0], last or row_days[0]),
            last or max(row_days[1], first or row_days[1]),
        )
    return pure.WaterPoint(
        place=name,
        minutes=ceil(row.filling_min or 0),
        hours=week_spans_of(row.hours),
        permit=permit,
    )
