"""Visits -> whether water left the pavement in a storm below design (5.4). Seen, never tested."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

from registry.gathering.demand import DemandOnDay
from registry.measuring.water_seen import Storm, is_below_design, why_not_told
from registry.models import Visit
from registry.units import Kind, System, show

Designed = Callable[[date], DemandOnDay]


@dataclass(frozen=True)
class RunOff:
    """What the newest visit that tells of it says. `small` is None where nobody can tell."""

    small: bool | None = None
    words: str = ""
    seen_on: date | None = None


def run_off(visits: Sequence[Visit], designed: Designed, system: System) -> RunOff:
    """Return what visits, newest first, say of water that left the pavement.

    A visit after at least as great a rain that saw none leave takes an older one back. Water that
    left in a storm of the design and over it says nothing.
    """
    kept_in: list[Storm] = []
    for visit in visits:
        rain, design = Storm(visit.rain_mm, visit.rain_hours), _design(designed(visit.done_on))
        if visit.ran_off == "no":
            kept_in.append(rain)
        elif visit.ran_off == "yes" and not any(_is_as_great(one, rain) for one in kept_in):
            small = is_below_design(rain, design)
            if small is not False:
                return RunOff(small, _decided(visit, rain, design, small, system), visit.done_on)
    return RunOff()


def water_words(visit: Visit, system: System | str) -> str:
    """Say where water stood or ran off at a visit, how deep and how long after which rain."""
    told = [stood_words(visit, system) if visit.water_stands == "yes" else "", _ran_off(visit)]
    return " ".join(filter(None, told)) + (_rain(visit, system) if any(told) else "")


def stood_words(visit: Visit, system: System | str) -> str:
    """Say where water stood at a visit that saw it, how long after the rain and how deep."""
    place = f" ({visit.water_place})" if visit.water_place else ""
    words = f"Water stood on the surface at the visit of {visit.done_on}{place}"
    if visit.water_minutes is not None:
        words += f", {visit.water_minutes:g} min after the rain"
    if visit.water_depth_m:
        words += f", {show(visit.water_depth_m * 1000, Kind.SMALL_LENGTH, System(system))} deep"
    return f"{words}."


def _ran_off(visit: Visit) -> str:
    if visit.ran_off != "yes":
        return ""
    place = f" ({visit.ran_off_place})" if visit.ran_off_place else ""
    return f"Water ran off the pavement{place} in the rain that the visit of {visit.done_on} tells."


def _rain(visit: Visit, system: System | str) -> str:
    """Say how much it rained and for how long, as far as anybody wrote it."""
    rain = _storm(Storm(visit.rain_mm, visit.rain_hours), System(system))
    if not rain:
        return ""
    return f" The rain: {rain}{f', by {visit.rain_known_by}' if visit.rain_known_by else ''}."


def _decided(visit: Visit, rain: Storm, design: Storm, small: bool | None, system: System) -> str:
    said = f"{_ran_off(visit)}{_rain(visit, system)}"
    if small:
        return f"{said} It was below the design storm of {_storm(design, system)}."
    why = why_not_told(rain, design)
    return f"{said} Whether that was below the design storm is not known: {why}."


def _storm(storm: Storm, system: System) -> str:
    parts = (
        show(storm.mm, Kind.SMALL_LENGTH, system) if storm.mm is not None else "",
        f"in {storm.hours:g} h" if storm.hours is not None else "",
    )
    return " ".join(filter(None, parts))


def _design(demand: DemandOnDay) -> Storm:
    row = demand.criteria
    if row is None:
        return Storm()
    return Storm(row.storm_depth_mm, row.storm_duration_h, row.intensity_mm_h)


def _is_as_great(one: Storm, other: Storm) -> bool:
    """Say whether a rain was known to be as deep as another, and as hard."""
    if one.mm is None or other.mm is None or one.mm < other.mm:
        return False
    mine, theirs = one.hardest_mm_h, other.hardest_mm_h
    return mine is not None and theirs is not None and mine >= theirs
