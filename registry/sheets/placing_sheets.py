"""A placing day gathered into the words of its load sheet and its cover walk cards."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from registry.models import Cover, Load, Pavement, PlacingDay, Spread
from registry.sheets.box import SheetError
from registry.sheets.contents import (
    CoverContent,
    CoverStrip,
    Heading,
    LoadContent,
    LoadRowWords,
)
from registry.units import Kind, System, from_si, show

HOURS = 6
BY = {"driver": "d", "foreman": "f", "tester": "t", "nk": "nk"}
LOOKS = {"dry": "d", "even": "e", "running": "r"}


def day_to_print(pavement: Pavement, on: date | None) -> PlacingDay:
    """Return the placing day of a date, or the newest one. Raises SheetError where none is."""
    rows = pavement.placing_days.standing().order_by("-placed_on", "-pk")
    found = (rows.filter(placed_on=on) if on else rows).first()
    if found is None:
        told = f" of {on.isoformat()}" if on else ""
        raise SheetError(
            f"This pavement has no placing day{told}. Write it down first, or print it blank."
        )
    found.pavement = pavement
    return found


def load_content(day: PlacingDay, heading: Heading) -> LoadContent:
    """Return what the load sheet of a day says: its limits, and the loads written down so far."""
    loads = day.loads.standing().in_order().prefetch_related("spreads")
    rows = tuple(row for load in loads for row in _rows(load, day, heading.system))
    return LoadContent(
        heading,
        day.placed_on.isoformat(),
        day.foreman,
        str(day.get_subbase_display()).split(":")[0] if day.subbase else "",
        _limits(day, heading.system),
        rows,
        day.pk,
    )


def _limits(day: PlacingDay, system: System) -> tuple[tuple[str, str], ...]:
    approved, within = day.density_approved_kg_m3, day.density_tolerance_kg_m3
    density = ""
    if approved is not None:
        density = show(approved, Kind.DENSITY, system)
        if within is not None:
            number, _, unit = density.partition(" ")
            density = f"{number} ± {from_si(within, Kind.DENSITY, system):.3g} {unit}"
    drying = day.drying_limit_kg_m2_h
    thickness = day.thickness_mm
    return (
        ("must match test panel no.", day.must_match),
        ("thickness", "" if thickness is None else show(thickness, Kind.SMALL_LENGTH, system)),
        ("cover within, min", _bare(day.cover_within_min)),
        ("batch to discharge, min", _bare(day.batch_to_discharge_min)),
        ("w/cm at most", _bare(day.water_cement_limit)),
        ("design", _bare(day.water_cement_design)),
        ("density", density),
        ("evaporation at most", "" if drying is None else show(drying, Kind.DRYING, system)),
    )


def _bare(value: float | None) -> str:
    return "" if value is None else f"{value:g}"


def _rows(load: Load, day: PlacingDay, system: System) -> list[LoadRowWords]:
    """One row, and one more for each further lane."""
    zone = ZoneInfo(day.pavement.site.time_zone)
    spreads = [one for one in load.spreads.all() if not one.is_void]
    first, rest = (spreads[0] if spreads else None), spreads[1:]

    def clock(at: datetime | None) -> str:
        return "" if at is None else f"{at.astimezone(zone):%H:%M}"

    row = LoadRowWords(
        load=load.number,
        ticket=load.ticket,
        batched=clock(load.batched_at),
        arrived=clock(load.arrived_at),
        discharged=(clock(load.discharge_from_at), clock(load.discharge_to_at)),
        water=_number(load.site_water_l, Kind.LIQUID, system),
        water_by=BY.get(load.site_water_by, ""),
        look=LOOKS.get(load.look, ""),
        density=_number(load.density_kg_m3, Kind.DENSITY, system),
        lane=first.lane if first else "",
        limits=_feet(first, system),
        covered=(clock(load.cover_first_at), clock(load.cover_last_at)),
    )
    further = (LoadRowWords(load.number, lane=one.lane, limits=_feet(one, system)) for one in rest)
    return [row, *further]


def _feet(spread: Spread | None, system: System) -> tuple[str, str]:
    if spread is None:
        return "", ""
    return (
        _number(spread.from_m, Kind.LENGTH, system),
        _number(spread.to_m, Kind.LENGTH, system),
    )


def _number(value: float | None, kind: Kind, system: System) -> str:
    return "" if value is None else show(value, kind, system).rpartition(" ")[0]


def cover_content(day: PlacingDay, heading: Heading) -> CoverContent:
    """Return what the cover walk cards of a day say; a day without a cover has one empty card."""
    covers = day.covers.standing().order_by("last_at", "pk")
    strips = tuple(_strip(cover, day) for cover in covers) or (CoverStrip(required=_required(day)),)
    return CoverContent(heading, day.placed_on.isoformat(), strips, day.pk)


def _required(day: PlacingDay) -> str:
    hours = day.covered_hours_required
    return "" if hours is None else f"{hours:g} h"


def _strip(cover: Cover, day: PlacingDay) -> CoverStrip:
    """Clocks count elapsed hours, so that a change of the clocks does not add or take one."""
    panels = cover.panels_text or ", ".join(cover.panels)
    if cover.last_at is None:
        return CoverStrip(panels, required=_required(day), cover_id=cover.pk)
    zone, last = ZoneInfo(day.pavement.site.time_zone), cover.last_at.astimezone(UTC)
    hourly = (last + timedelta(hours=n) for n in range(1, HOURS + 1))
    hours = day.covered_hours_required
    until = "" if hours is None else f"{(last + timedelta(hours=hours)).astimezone(zone):%F %H:%M}"
    return CoverStrip(
        panels,
        f"{last.astimezone(zone):%F %H:%M}",
        _required(day),
        until,
        tuple(f"{at.astimezone(zone):%H:%M}" for at in hourly),
        cover.pk,
    )
