"""A pour plan in words, the same on page and paper."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from registry.gathering.pour_plan import DryingHour, PourFigures
from registry.models import PourPlan
from registry.placing.evaporation import Evaporation
from registry.placing.faults import NotGiven
from registry.placing.pour_plan import PlannedLoad, Strip
from registry.placing.spacing import Placing
from registry.units import Kind, System, convert, show

MILE_KM = 1.609344


@dataclass(frozen=True)
class PourWords:
    """What a plan says. `rule` is the stop rule; rows are cells in the order of their columns."""

    rule: str
    facts: tuple[str, ...]
    doubts: tuple[str, ...]
    loads: tuple[tuple[str, ...], ...]
    hours: tuple[tuple[str, ...], ...]
    reason: str


def pour_words(row: PourPlan, figures: PourFigures, system: System) -> PourWords:
    """Return the words of a plan in the reader's units; evaporation stays in the plan's form."""
    plan = figures.plan
    loads: tuple[tuple[str, ...], ...] = ()
    doubts = list(figures.doubts)
    if isinstance(plan, NotGiven):
        rule, reason = plan.reason, plan.reason
    else:
        rule, reason = plan.stop_words, ""
        loads = tuple(_load(x, figures.batch_at, system, plan.late) for x in plan.loads)
        if plan.late:
            late = ", ".join(str(number) for number in plan.late)
            doubts.append(f"Begun after the stop: load {late}. Begin earlier, or place less.")
    facts = tuple(_facts(row, figures, system))
    hours = tuple(_hour(one, system) for one in figures.hours)
    return PourWords(rule, facts, tuple(doubts), loads, hours, reason)


def _facts(row: PourPlan, figures: PourFigures, system: System) -> list[str]:
    found = []
    if isinstance(figures.placing, Placing):
        spacing = f"{figures.placing.spacing_min:.0f}"
        covers = show(figures.placing.covers_m, Kind.LENGTH, system)
        found.append(f"A truck every {spacing} min; a load fills {covers} of a lane.")
    if not isinstance(figures.plan, NotGiven):
        order = show(figures.order_m3, Kind.VOLUME, system)
        last = figures.plan.loads[-1]
        found.append(
            f"{len(figures.plan.loads)} loads, {order} together; last foot covered by "
            f"{last.covered_by:%H:%M}."
        )
        for words, value in (
            ("Evaporation passes the limit at", figures.plan.passes_at),
            ("Latest start so that all is covered by then", figures.plan.latest_start),
        ):
            told = value.reason if isinstance(value, NotGiven) else f"{words}: {value:%H:%M}."
            if told not in found:
                found.append(told)
    limit = figures.limit
    in_form = limit.in_form(System(row.system))
    unit = "kg/m²/h" if System(row.system) is System.SI else "lb/ft²/h"
    found.append(f"Limit on evaporation for {limit.name}: {in_form:.3g} {unit}.")
    found.append(_lags(row))
    if row.plant_km is not None:
        miles = f"{row.plant_km / MILE_KM:.3g} mi"
        found.append(f"Plant: {f'{row.plant_km:.3g} km' if system is System.SI else miles} away.")
    return found


def _lags(row: PourPlan) -> str:
    """Return the planned lags against their limits (N13)."""
    parts = []
    if row.plant_min is not None:
        most = row.batch_to_discharge_min
        told = f", at most {most:g}" if most is not None else ""
        parts.append(f"batch to discharge {row.plant_min:g} min{told}")
    if row.cover_min is not None:
        within = row.cover_within_min
        told = f", contract {within:g}" if within is not None else ""
        parts.append(f"discharge to cover {row.cover_min:g} min{told}")
    return f"Planned: {'; '.join(parts)}." if parts else "No lag is planned."


def _load(
    load: PlannedLoad, batch_at: Sequence[datetime], system: System, late: Sequence[int]
) -> tuple[str, ...]:
    batch = f"{batch_at[load.number - 1]:%H:%M}" if batch_at else "not known"
    where = "; ".join(_strip(strip, system) for strip in load.strips)
    clocks = (load.discharge_at, load.placed_at, load.covered_by)
    after = " (after the stop)" if load.number in late else ""
    return (
        str(load.number),
        show(load.m3, Kind.VOLUME, system, digits=1),
        batch,
        *(f"{at:%H:%M}" for at in clocks),
        f"{where}{after}",
    )


def _strip(strip: Strip, system: System) -> str:
    ends = [show(x, Kind.LENGTH, system).rpartition(" ") for x in (strip.from_m, strip.to_m)]
    return f"{strip.lane} {ends[0][0]}-{ends[1][0]} {ends[1][2]}"


def _hour(one: DryingHour, system: System) -> tuple[str, ...]:
    weather, drying = one.hour.weather, one.drying
    found = drying.words if isinstance(drying, Evaporation) else drying.reason
    return (
        f"{one.hour.at:%H:%M}",
        _read(weather.air, Kind.TEMPERATURE, weather.system, system),
        f"{weather.humidity_percent:g} %",
        _read(weather.wind, Kind.SPEED, weather.system, system),
        _read(weather.concrete, Kind.TEMPERATURE, weather.system, system),
        found,
        "over the limit" if one.is_over else "",
    )


def _read(value: float | None, kind: Kind, was: System, system: System) -> str:
    if value is None:
        return "not known"
    return show(convert(value, kind, was, System.SI), kind, system)
