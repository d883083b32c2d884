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
    """Return a mark for each spot whose place is known, with its newest result beside it."""
    newest = {day.spot.pk: day for day in days}
    marks = []
    for spot in spots:
        if spot.right_m is None or spot.up_m is None or spot.ended_on is not None:
            continue
        day = newest.get(spot.pk)
        value = _value(day, system)
        marks.append(
            SpotMark(
                spot.name,
                (spot.right_m, spot.up_m),
                value,
                href(spot) if href else "",
                f"Spot {spot.name}: {value}, {day.on:%Y-%m-%d}" if day else f"Spot {spot.name}",
            )
        )
    return tuple(marks)


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
