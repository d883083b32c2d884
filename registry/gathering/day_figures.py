"""The figures of a whole placing day: yield (N15) and spacing of trucks (N35)."""

from collections.abc import Sequence
from dataclasses import dataclass

from registry.faults import DomainError
from registry.gathering.load_figures import LoadFigures
from registry.models import PlacingDay
from registry.placing.faults import NotGiven
from registry.placing.spacing import Placing
from registry.placing.yield_check import YieldCheck, yield_check
from registry.units import System


@dataclass(frozen=True)
class DayFigures:
    """What the loads of a day add up to; reasons stand in place of figures."""

    volume_m3: float
    area_m2: float | None
    used: YieldCheck | NotGiven
    spacing_min: float | NotGiven


def day_figures(day: PlacingDay, loads: Sequence[LoadFigures], system: System) -> DayFigures:
    """Return yield and spacing of a day from its loads and their spreads."""
    standing = [one for one in loads if not one.load.is_void and one.load.state != "sent_back"]
    volumes = [one.load.volume_m3 for one in standing]
    wasted = sum(one.load.wasted_m3 or 0.0 for one in standing)
    placed = sum(volume for volume in volumes if volume is not None) - wasted
    widths = lane_widths(day)
    area = _area(standing, widths)
    used = _yield(day, volumes, placed, area)
    return DayFigures(placed, area, used, _spacing(day, standing, widths))


def lane_widths(day: PlacingDay) -> dict[str, float]:
    """Return the width of each lane from its panels on the plan of the day, m."""
    rows = day.pavement.panels.standing().existing_on(day.placed_on)
    widths: dict[str, float] = {}
    for name, width in rows.values_list("name", "width_m"):
        lane = "".join(sign for sign in name if sign.isalpha())
        widths[lane] = max(widths.get(lane, 0.0), width)
    return widths


def _area(loads: Sequence[LoadFigures], widths: dict[str, float]) -> float | None:
    """Return the area the spreads fill, None where a load has none or a lane no width."""
    spreads = [spread for one in loads for spread in one.spreads]
    if not spreads or any(not one.spreads for one in loads):
        return None
    if any(spread.lane not in widths for spread in spreads):
        return None
    return sum((one.to_m - one.from_m) * widths[one.lane] for one in spreads)


def _yield(
    day: PlacingDay, volumes: Sequence[float | None], placed: float, area: float | None
) -> YieldCheck | NotGiven:
    if not volumes or None in volumes:
        return NotGiven("The volume of a load is missing.")
    if area is None:
        return NotGiven("The limits of a load, or the width of its lane, are missing.")
    if day.thickness_mm is None:
        return NotGiven("The plan thickness is missing.")
    try:
        return yield_check(placed, area, day.thickness_mm / 1000)
    except DomainError as fault:
        return NotGiven(fault.message)


def _spacing(
    day: PlacingDay, loads: Sequence[LoadFigures], widths: dict[str, float]
) -> float | NotGiven:
    """Return minutes between trucks for the largest load and the widest lane used."""
    lanes = {spread.lane for one in loads for spread in one.spreads} & set(widths)
    volumes = [one.load.volume_m3 for one in loads if one.load.volume_m3]
    if day.placing_speed_m_min is None or day.thickness_mm is None:
        return NotGiven("Placing speed and plan thickness are needed.")
    if not lanes or not volumes:
        return NotGiven("A load with its volume and its lane is needed.")
    try:
        return Placing(
            max(volumes),
            max(widths[lane] for lane in lanes),
            day.thickness_mm / 1000,
            day.placing_speed_m_min,
        ).spacing_min
    except DomainError as fault:
        return NotGiven(fault.message)
