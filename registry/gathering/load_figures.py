"""The figures of a load, from its rows: lags, w/cm, evaporation, density (N11, N12, N13, N16)."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from registry.faults import DomainError
from registry.models import Load, PlacingDay, Spread, WeatherReading
from registry.models.weather_reading import WeatherSource
from registry.placing.cores import DensityCheck, density_check
from registry.placing.evaporation import (
    DryingLimit,
    DryingWeather,
    Evaporation,
    evaporation,
)
from registry.placing.faults import NotGiven
from registry.placing.lags import Lags, LoadTimes, lags
from registry.placing.water import LoadWater, WaterCement, water_cement
from registry.units import Kind, System, from_si, show


@dataclass(frozen=True)
class LoadFigures:
    """One load with what follows from it; a reason stands where a figure may not be given.

    trouble      times that contradict each other, in words
    reading      the weather at the load, its own reading or the nearest within the hour
    is_over_water, is_late  against the limits kept with the day; None where not decided
    """

    load: Load
    lags: Lags | None
    trouble: str
    water: WaterCement | NotGiven
    drying: Evaporation | NotGiven
    density: DensityCheck | NotGiven
    is_over_water: bool | None
    is_late: bool | None
    spreads: tuple[Spread, ...]
    reading: WeatherReading | None

    @property
    def lag_min(self) -> float | None:
        """Longest minutes from discharge to cover."""
        return _number(self.lags.longest_to_cover) if self.lags else None

    @property
    def wait_min(self) -> float | None:
        """Minutes from batch to discharge."""
        return _number(self.lags.batch_to_discharge) if self.lags else None

    @property
    def is_long_wait(self) -> bool | None:
        """Say whether batch to discharge took longer than the day allows; None if not decided."""
        most, took = self.load.placing_day.batch_to_discharge_min, self.wait_min
        return None if most is None or took is None else took > most

    @property
    def is_drying(self) -> bool | None:
        """Say whether the evaporation passes the limit of the day; None if not decided."""
        most = self.load.placing_day.drying_limit_kg_m2_h
        if most is None or isinstance(self.drying, NotGiven):
            return None
        in_both = (most, round(from_si(most, Kind.DRYING, System.INCH_POUND), 9))
        return self.drying.passes(DryingLimit("limit of the day", *in_both))

    @property
    def drying_limit(self) -> str:
        """Return the limit of the day in the unit of the evaporation beside it."""
        most = self.load.placing_day.drying_limit_kg_m2_h
        if most is None or isinstance(self.drying, NotGiven):
            return ""
        return show(most, Kind.DRYING, self.drying.form)

    @property
    def reading_apart_min(self) -> float | None:
        """Return the minutes between discharge and the reading; None for one at this very load."""
        begun = self.load.discharge_from_at
        if self.reading is None or begun is None or _is_own(self.reading, self.load):
            return None
        return abs((self.reading.at - begun).total_seconds()) / 60

    @property
    def placed_words(self) -> str:
        """Return the lanes it went to, "A, C"."""
        return ", ".join(dict.fromkeys(spread.lane for spread in self.spreads))


def figures_of(
    day: PlacingDay,
    loads: Sequence[Load],
    spreads: Iterable[Spread],
    weather: Sequence[WeatherReading],
) -> list[LoadFigures]:
    """Return the figures of the loads of a day, in their order."""
    by_load: dict[int, list[Spread]] = {}
    for spread in spreads:
        if not spread.is_void:
            by_load.setdefault(spread.load_id, []).append(spread)
    zone = ZoneInfo(day.pavement.site.time_zone)
    readings = [row for row in weather if not row.is_void]
    return [
        load_figures(day, load, tuple(by_load.get(load.pk, ())), readings, zone) for load in loads
    ]


def load_figures(
    day: PlacingDay,
    load: Load,
    spreads: tuple[Spread, ...],
    weather: Sequence[WeatherReading],
    zone: ZoneInfo,
) -> LoadFigures:
    """Return the figures of one load, stored or still being written."""
    found, trouble = _lags(load, zone)
    water = _water(load)
    late = None
    longest = found.longest_to_cover if found else None
    if isinstance(longest, float | int) and day.cover_within_min is not None:
        late = longest > day.cover_within_min
    over = None
    if isinstance(water, WaterCement) and day.water_cement_limit is not None:
        over = water.is_over(day.water_cement_limit)
    reading = reading_of(load, weather)
    drying, density = _drying(load, reading), _density(day, load)
    return LoadFigures(load, found, trouble, water, drying, density, over, late, spreads, reading)


def _lags(load: Load, zone: ZoneInfo) -> tuple[Lags | None, str]:
    def at(moment: datetime | None) -> datetime | None:
        return None if moment is None else moment.astimezone(zone)

    try:
        times = LoadTimes(
            at(load.batched_at),
            at(load.arrived_at),
            at(load.discharge_from_at),
            at(load.discharge_to_at),
            at(load.cover_first_at),
            at(load.cover_last_at),
        )
    except DomainError as fault:
        return None, fault.message
    return lags(times), ""


def _water(load: Load) -> WaterCement | NotGiven:
    system = System(load.system)
    try:
        return water_cement(
            LoadWater(
                system,
                _in(load.cementitious_kg_m3, Kind.CONTENT, system),
                _in(load.volume_m3, Kind.VOLUME, system),
                _in(load.batch_water_kg, Kind.MASS, system),
                _in(load.free_moisture_kg, Kind.MASS, system),
                _in(load.site_water_l, Kind.LIQUID, system),
            )
        )
    except DomainError as fault:
        return NotGiven(fault.message)


def _is_own(row: WeatherReading, load: Load) -> bool:
    """Say whether a reading was taken at a load; one that is not stored yet has none of its own."""
    return row.load_id is not None and row.load_id == load.pk


def reading_of(load: Load, weather: Sequence[WeatherReading]) -> WeatherReading | None:
    """Return the weather of a load: its own reading, else the nearest of its day in the hour."""
    own = [row for row in weather if _is_own(row, load)]
    return own[0] if own else nearest(weather, load.discharge_from_at)


def _drying(load: Load, reading: WeatherReading | None) -> Evaporation | NotGiven:
    if reading is None:
        return NotGiven("No weather was read at this load.")
    return drying_of(reading, concrete_c=load.concrete_c)


def nearest(weather: Sequence[WeatherReading], at: datetime | None) -> WeatherReading | None:
    """Return the reading nearest to an instant, within the hour; ties take the earlier."""
    if at is None:
        return None
    known = sorted(weather, key=lambda row: (abs((row.at - at).total_seconds()), row.at))
    return next((row for row in known if abs((row.at - at).total_seconds()) <= 3600), None)


def drying_of(row: WeatherReading, *, concrete_c: float | None = None) -> Evaporation | NotGiven:
    """Return the evaporation of a reading, in the form of the units it was read in."""
    system = System(row.system)
    concrete = row.concrete_c if row.concrete_c is not None else concrete_c
    try:
        return evaporation(
            DryingWeather(
                system,
                _in(row.air_c, Kind.TEMPERATURE, system),
                _in(concrete, Kind.TEMPERATURE, system),
                row.humidity_percent,
                _in(row.wind_km_h, Kind.SPEED, system),
                wind_by_eye=row.read_with == WeatherSource.EYE,
            )
        )
    except DomainError as fault:
        return NotGiven(fault.message)


def _density(day: PlacingDay, load: Load) -> DensityCheck | NotGiven:
    system = System(load.system)
    return density_check(
        _in(load.density_kg_m3, Kind.DENSITY, system),
        _in(day.density_approved_kg_m3, Kind.DENSITY, system),
        system,
        _in(day.density_tolerance_kg_m3, Kind.DENSITY, system),
    )


def _in(value: float | None, kind: Kind, system: System) -> float | None:
    """Return a stored quantity as it was read, the noise of turning it back and forth cut off."""
    return None if value is None else round(from_si(value, kind, system), 9)


def _number(value: float | NotGiven) -> float | None:
    return None if isinstance(value, NotGiven) else float(value)
