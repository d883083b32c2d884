"""A pour plan worked out from its row: loads, spacing, evaporation by the hour, stop rule (C1)."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from registry.faults import DomainError
from registry.gathering.layouts import find_layout
from registry.instants import read_local_instant
from registry.models import DryingChoice, Pavement, PourPlan
from registry.placing.evaporation import (
    NO_BLEED,
    PLAIN,
    DryingLimit,
    DryingWeather,
    Evaporation,
    evaporation,
)
from registry.placing.faults import NotGiven, PlacingError
from registry.placing.pour_plan import ForecastHour, Strip, pour_plan
from registry.placing.pour_plan import PourPlan as Planned
from registry.placing.spacing import Placing
from registry.units import Kind, System, from_si

ALIKE = 0.02
"""Lanes whose widths differ by less are placed alike."""


@dataclass(frozen=True)
class Lane:
    """A lane of the plan: its width, and where it begins and ends, m up from the datum line."""

    name: str
    width_m: float
    from_m: float
    to_m: float


@dataclass(frozen=True)
class DryingHour:
    """One hour of the forecast with its evaporation; `is_over` is None where there is none."""

    hour: ForecastHour
    drying: Evaporation | NotGiven
    is_over: bool | None


@dataclass(frozen=True)
class PourFigures:
    """What follows from a plan. Reasons stand in place of what may not be given.

    batch_at  when each load is to be batched so that it is there, () where that is not known
    doubts    what in the plan does not fit together, in words
    """

    plan: Planned | NotGiven
    placing: Placing | NotGiven
    limit: DryingLimit
    hours: tuple[DryingHour, ...]
    batch_at: tuple[datetime, ...]
    doubts: tuple[str, ...]

    @property
    def order_m3(self) -> float:
        """Return the concrete of all loads."""
        return 0.0 if isinstance(self.plan, NotGiven) else sum(x.m3 for x in self.plan.loads)


def lanes_of(pavement: Pavement, on: object) -> dict[str, Lane]:
    """Return the lanes of the panels that are drawn for a day; {} where no panel is drawn."""
    layout = find_layout(pavement).layout
    if layout is None:
        return {}
    panels = layout.panels_on(on) if on is not None else ()  # type: ignore[arg-type]
    found: dict[str, Lane] = {}
    for panel in panels or layout.panels:
        left, low, right, high = panel.polygon.bounds
        known = found.get(panel.letter, Lane(panel.letter, 0.0, low, high))
        found[panel.letter] = Lane(
            panel.letter,
            max(known.width_m, right - left),
            min(known.from_m, low),
            max(known.to_m, high),
        )
    return found


def pour_figures(row: PourPlan, lanes: Mapping[str, Lane], zone: str) -> PourFigures:
    """Return what follows from a plan, stored or still being written."""
    limit = limit_of(row)
    hours, trouble = _hours(row, zone)
    placing = _placing(row, lanes)
    planned: Planned | NotGiven = trouble or placing  # type: ignore[assignment]
    if trouble is None and isinstance(placing, Placing):
        planned = _planned(row, placing, hours, limit, zone)
    return PourFigures(
        planned,
        placing,
        limit,
        tuple(_drying(hour, limit) for hour in hours),
        _batch_at(row, planned),
        tuple(_doubts(row)),
    )


def limit_of(row: PourPlan) -> DryingLimit:
    """Return the limit on evaporation that a plan is held against, in both systems."""
    own = row.drying_limit_kg_m2_h
    if row.limit_by == DryingChoice.OWN and own is not None:
        return DryingLimit("this contract", own, from_si(own, Kind.DRYING, System.INCH_POUND))
    return PLAIN if row.limit_by == DryingChoice.PLAIN else NO_BLEED


def _placing(row: PourPlan, lanes: Mapping[str, Lane]) -> Placing | NotGiven:
    if not lanes:
        return NotGiven("Draw the panel plan first: lanes and their widths come from it.")
    used = [lanes[name] for name in dict.fromkeys(x[0] for x in row.lanes) if name in lanes]
    if not used:
        return NotGiven("Say which lanes are placed, in their order.")
    widths = [lane.width_m for lane in used]
    if max(widths) > (1 + ALIKE) * min(widths):
        told = ", ".join(lane.name for lane in used)
        return NotGiven(f"Lanes {told} are not of one width: plan those of each width by itself.")
    sizes = (row.load_m3, row.thickness_mm, row.placing_speed_m_min)
    if None in sizes:
        return NotGiven("Load, plan thickness and placing speed are needed.")
    try:
        wasted = (row.wasted_percent or 0.0) / 100
        thickness, speed = row.thickness_mm / 1000, row.placing_speed_m_min
        return Placing(row.load_m3, max(widths), thickness, speed, wasted)
    except DomainError as fault:
        return NotGiven(fault.message)


def _hours(row: PourPlan, zone: str) -> tuple[list[ForecastHour], NotGiven | None]:
    """Return the forecast as instants of the day, in the units of the plan."""
    found = []
    try:
        for clock, air, humidity, wind, concrete in row.forecast:
            at = read_local_instant(f"{row.planned_on} {clock}", zone, None)
            concrete = concrete if concrete is not None else row.concrete_c
            weather = _weather(System(row.system), air, humidity, wind, concrete)
            found.append(ForecastHour(at.astimezone(ZoneInfo(zone)), weather))
    except DomainError as fault:
        return [], NotGiven(fault.message)
    return sorted(found, key=lambda hour: hour.at), None


def _weather(
    system: System, air: float, humidity: float, wind: float, concrete: float | None
) -> DryingWeather:
    return DryingWeather(
        system,
        round(from_si(air, Kind.TEMPERATURE, system), 6),
        None if concrete is None else round(from_si(concrete, Kind.TEMPERATURE, system), 6),
        humidity,
        round(from_si(wind, Kind.SPEED, system), 6),
    )


def _planned(
    row: PourPlan, placing: Placing, hours: list[ForecastHour], limit: DryingLimit, zone: str
) -> Planned | NotGiven:
    if None in (row.first_at, row.cover_min):  # a plan still being written
        return NotGiven("Begin of the first load and the crew's time to cover are needed.")
    try:
        strips = [Strip(lane, begin, end) for lane, begin, end in row.lanes]
        start = row.first_at.astimezone(ZoneInfo(zone))
        return pour_plan(
            strips, placing, start, cover_min=row.cover_min, forecast=hours, limit=limit
        )
    except PlacingError as fault:
        return NotGiven(fault.message)


def _drying(hour: ForecastHour, limit: DryingLimit) -> DryingHour:
    found = evaporation(hour.weather)
    return DryingHour(hour, found, found.passes(limit) if isinstance(found, Evaporation) else None)


def _batch_at(row: PourPlan, planned: Planned | NotGiven) -> tuple[datetime, ...]:
    if isinstance(planned, NotGiven) or row.plant_min is None:
        return ()
    road_s = 60 * row.plant_min
    begins = (load.discharge_at for load in planned.loads)
    return tuple(datetime.fromtimestamp(at.timestamp() - road_s, at.tzinfo) for at in begins)


def _doubts(row: PourPlan) -> list[str]:
    """Return what does not fit together; a doubt asks, it changes no number."""
    found = []
    within, cover = row.cover_within_min, row.cover_min
    if within is not None and cover is not None and cover > within:
        found.append(
            f"The crew covers within {cover:g} min, the contract asks for {within:g} min: every "
            "strip would lie bare too long."
        )
    road, most = row.plant_min, row.batch_to_discharge_min
    if road is not None and most is not None and road > most:
        found.append(
            f"The way from the plant takes {road:g} min, the mix is to be discharged within "
            f"{most:g} min of batching."
        )
    if row.cover_crew == 0:
        found.append("Nobody has nothing but the cover to do.")
    return found
