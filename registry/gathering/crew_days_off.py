"""Days on which crews do not go out, or go out at other hours: three kinds of row by one query."""

from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django.db.models import CharField, Exists, F, OuterRef, Q, QuerySet, TimeField, Value
from django.db.models.functions import Cast

from registry.agenda import Item
from registry.models import Crew, CrewHoliday, ExtraShift, RoundCallOff, RoundDay

ALL_CREWS = "all crews"


def days_off(crews: QuerySet[Crew], first_on: date, last_on: date, *, zone: str) -> list[Item]:
    """Return holidays, days called off in rounds in force and extra shifts of crews in a span."""
    whose = Q(crew__in=crews.values("pk"))
    everybody = Q(crew__isnull=True)
    firms = crews.values("organisation")
    within = {"first_on__lte": last_on, "last_on__gte": first_on}
    holidays = CrewHoliday.objects.standing().filter(
        whose | (everybody & Q(organisation__in=firms)), **within
    )
    in_force = RoundDay.objects.in_force().filter(round=OuterRef("round"))
    called_off = RoundCallOff.objects.filter(
        whose | (everybody & Q(round__organisation__in=firms)),
        Exists(in_force),
        on__range=(first_on, last_on),
    )
    extra = ExtraShift.objects.standing().filter(whose, on__range=(first_on, last_on))
    rows = _told(extra, "extra_shift", clocks=("from_clock", "to_clock"), why="because").union(
        _told(holidays, "day_off", days=("first_on", "last_on"), why="because"),
        _told(called_off, "day_called_off", why="why", written="round__asked_at"),
        all=True,
    )
    return [_item(row, zone) for row in rows]


def _told(
    rows: QuerySet[Any],
    kind: str,
    *,
    why: str,
    days: tuple[str, str] = ("on", "on"),
    clocks: tuple[str, str] | None = None,
    written: str = "entered_at",
) -> QuerySet[Any, dict[str, Any]]:
    """Name the columns of one kind as those of all; no clock is a typed null on PostgreSQL."""
    none = Cast(Value(None), TimeField())
    return rows.order_by().values(
        row_id=F("pk"),
        kind=Value(kind, output_field=CharField()),
        crew_pk=F("crew"),
        crew_name=F("crew__name"),
        begins_on=F(days[0]),
        ends_on=F(days[1]),
        said=F(why),
        written_then=F(written),
        from_then=F(clocks[0]) if clocks else none,
        to_then=F(clocks[1]) if clocks else none,
    )


def _item(row: dict[str, Any], zone: str) -> Item:
    """Return a row in words; an extra shift has its clock times, by the organisation's clock."""
    crew = row["crew_name"] or ALL_CREWS
    begins, ends = (_at(row["begins_on"], row[name], zone) for name in ("from_then", "to_then"))
    if begins and ends and ends <= begins:  # over midnight, as hours of the week are read
        ends = _at(row["begins_on"] + timedelta(days=1), row["to_then"], zone)
    return Item(
        kind=row["kind"],
        title=crew,
        first_on=row["begins_on"],
        last_on=row["ends_on"],
        zone=zone,
        row_id=row["row_id"],
        starts_at=begins,
        ends_at=ends,
        words=row["said"],
        crew=crew,
        crew_id=row["crew_pk"],
        page=("crew_page", row["crew_pk"]) if row["crew_pk"] else ("", 0),
        written_at=row["written_then"],
    )


def _at(day: date, clock: time | None, zone: str) -> datetime | None:
    return datetime.combine(day, clock, ZoneInfo(zone)) if clock is not None else None


def days_without_shift(crew: Crew, first_on: date, last_on: date, items: list[Item]) -> list[date]:
    """Return the days of a span that are no working day of a crew and have no extra shift."""
    worked = {weekday for weekday, _, _ in crew.shifts}
    extra = {item.first_on for item in items if item.kind == "extra_shift"}
    days = [date.fromordinal(n) for n in range(first_on.toordinal(), last_on.toordinal() + 1)]
    return [day for day in days if day.weekday() not in worked and day not in extra]


def no_shift_items(
    crew: Crew, first_on: date, last_on: date, items: list[Item], *, zone: str
) -> Iterator[Item]:
    """Yield those days as things of a calendar."""
    for day in days_without_shift(crew, first_on, last_on, items):
        yield Item("no_shift", str(crew), day, day, zone, crew.pk, crew=str(crew), crew_id=crew.pk)
