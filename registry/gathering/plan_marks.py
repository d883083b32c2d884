"""Spots and condition words of a pavement -> what is put on its plan picture."""

from collections.abc import Callable, Iterable

from registry.drawing.plan_marks import SpotMark, StateArea
from registry.gathering.condition import PavementCondition
from registry.gathering.spot_days import SpotDay
from registry.models import Spot, Stratum
from registry.models.choices import StratumKind
from registry.units import Kind, System, show


def spot_marks(
    spots: Iterable[Spot],
    days: Iterable[SpotDay],
    *,
    system: System,
    href: Callable[[Spot], str] | None = None,
) -> tuple[SpotMark, ...]:
    """Return a mark for each living spot, with its newest result beside it.

    A spot of which only the panel is known stands in the middle of it, and its title says so.
    """
    newest = {day.spot.pk: day for day in days}
    marks = []
    for spot in spots:
        at = _place(spot)
        if at is None or spot.ended_on is not None:
            continue
        day = newest.get(spot.pk)
        value = _value(day, system)
        marks.append(
            SpotMark(
                spot.name,
                at,
                value,
                href(spot) if href else "",
                _title(spot, day, value),
            )
        )
    return tuple(marks)


def _place(spot: Spot) -> tuple[float, float] | None:
    if spot.right_m is not None and spot.up_m is not None:
        return spot.right_m, spot.up_m
    if spot.panel is None:
        return None
    panel = spot.panel
    return panel.right_m + panel.width_m / 2, panel.up_m + panel.length_m / 2


def _title(spot: Spot, day: SpotDay | None, value: str) -> str:
    known = "" if spot.right_m is not None else f", somewhere in panel {spot.panel}"
    read = f": {value}, {day.on:%Y-%m-%d}" if day else ", no usable result yet"
    return f"Spot {spot.name}{known}{read}"


def _value(day: SpotDay | None, system: System) -> str:
    if day is None or not day.values:
        return ""
    mm_h, sign = min(day.values, key=lambda v: v[0])
    return show(mm_h, Kind.RATE, system, sign=sign)


def state_areas(strata: Iterable[Stratum], condition: PavementCondition) -> tuple[StateArea, ...]:
    """Return the condition word of each stratum over its rectangles."""
    rings = {row.kind: _rings(row.rectangles) for row in strata}
    return tuple(
        StateArea(
            word.word.value,
            StratumKind(word.stratum.value).label,
            rings.get(word.stratum.value, ()),
        )
        for word in condition.strata
        if word.stratum is not None
    )


def _rings(rectangles: list[list[float]]) -> tuple[tuple[tuple[float, float], ...], ...]:
    return tuple(
        (
            (right, up),
            (right + width, up),
            (right + width, up + length),
            (right, up + length),
        )
        for right, up, width, length in rectangles
    )
