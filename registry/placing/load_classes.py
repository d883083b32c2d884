"""Loads put into classes by what happened to them, and what was called back or raveled in each.

The limits of the classes are a house rule, no source, but that of evaporation: 1.0 and 0.5 kg/m2/h
(0.2 and 0.1 lb/ft2/h) are common limits (Uno, ACI Materials Journal 95-M34, 1998). Numbers are put
into a class as they are shown, a lag to the minute. A class says what its loads had in common, and
not what made them so: loads covered late are most often those of a hot morning as well.
"""

import itertools
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from statistics import median

from registry.placing.area_rates import AreaRate, area_rate
from registry.placing.evaporation import NO_BLEED, PLAIN, DryingLimit, Evaporation

NOT_KNOWN = "not known"
HALF = DryingLimit("half of the lower limit", 0.25, 0.05)
LAG_TO = (20, 30, 45)
WAIT_TO = (45, 60, 90)
HOURS = (8, 10, 12)


@dataclass(frozen=True)
class Grouping:
    """Something that loads are told apart by; `order` of its classes, empty: by name.

    about  what stands above its table
    """

    code: str
    title: str
    order: tuple[str, ...] = ()
    about: str = ""


def _steps(tops: Sequence[int], unit: str) -> tuple[str, ...]:
    between = (f"over {low} to {high} {unit}" for low, high in itertools.pairwise(tops))
    return (f"up to {tops[0]} {unit}", *between, f"over {tops[-1]} {unit}", NOT_KNOWN)


_DRYING = (
    "up to 0.25 kg/m²/h (0.05 lb/ft²/h)",
    "over 0.25 to 0.5 kg/m²/h (0.05 to 0.1 lb/ft²/h)",
    "over 0.5 to 1.0 kg/m²/h (0.1 to 0.2 lb/ft²/h)",
    "over 1.0 kg/m²/h (0.2 lb/ft²/h)",
    NOT_KNOWN,
)
_OF_DAY = ("before 08:00", "08:00 to 10:00", "10:00 to 12:00", "12:00 and later", NOT_KNOWN)
LAG = Grouping("lag", "Longest time from discharge to cover", _steps(LAG_TO, "min"))
EVAPORATION = Grouping("evaporation", "Evaporation", _DRYING)
WAIT = Grouping("wait", "Time from batch to discharge", _steps(WAIT_TO, "min"))
HOUR = Grouping("hour", "Discharge began, by the clock at the place", _OF_DAY)
CREW = Grouping(
    "crew",
    "Cover crew, as written",
    about="By name, in no order of merit: it says on what a crew was sent, and no more. Look at "
    "the minutes and the evaporation of its loads before at its rates.",
)
PLANT = Grouping("plant", "Plant, as written")
EDGE = Grouping(
    "edge",
    "Edges of the panel",
    about="A panel with two kinds of edge counts in both rows; only what lies in such panels.",
)
GROUPINGS = (LAG, EVAPORATION, WAIT, HOUR, CREW, PLANT, EDGE)
"""In the order of the page; how many were tried is always said."""


def lag_class(minutes: float | None) -> str:
    """Return the class of a time from discharge to cover."""
    return _class_of(minutes, LAG_TO, LAG.order)


def wait_class(minutes: float | None) -> str:
    """Return the class of a time from batch to discharge."""
    return _class_of(minutes, WAIT_TO, WAIT.order)


def hour_class(hour: int | None) -> str:
    """Return the class of the hour, 0 to 23, in which discharge began."""
    if hour is None:
        return NOT_KNOWN
    return HOUR.order[sum(1 for step in HOURS if hour >= step)]


def drying_class(found: Evaporation | None) -> str:
    """Return the class of an evaporation, by the limits of the form in which it was worked out."""
    if found is None:
        return NOT_KNOWN
    return EVAPORATION.order[sum(1 for limit in (HALF, NO_BLEED, PLAIN) if found.passes(limit))]


def _class_of(value: float | None, tops: Sequence[int], order: Sequence[str]) -> str:
    if value is None:
        return NOT_KNOWN
    shown = round(value)
    return order[sum(1 for top in tops if shown > top)]


@dataclass(frozen=True)
class Part:
    """What one load has of one panel, m2.

    load, job    names that stand once among all jobs
    called_m2    of it called back
    raveled_m2   of it raveled at the first look, graded as `graded_by` says; None: not graded
    classes      grouping code to its classes; a panel may have edges of two
    """

    load: str
    job: str
    area_m2: float
    called_m2: float
    raveled_m2: float | None = None
    graded_by: str = ""
    lag_min: float | None = None
    drying_kg_m2_h: float | None = None
    classes: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


@dataclass(frozen=True)
class ClassRow:
    """One class. raveled: by way of grading, never two ways in one number.

    lag_min, drying_kg_m2_h  medians of its loads, where they are known
    """

    label: str
    area_m2: float
    loads: int
    jobs: int
    called: AreaRate
    raveled: tuple[tuple[str, AreaRate], ...]
    lag_min: float | None
    drying_kg_m2_h: float | None


def class_rows(parts: Iterable[Part], grouping: Grouping) -> tuple[ClassRow, ...]:
    """Return the classes that have loads, in the order of the grouping, else by name."""
    by_class: dict[str, list[Part]] = {}
    for part in parts:
        for label in part.classes.get(grouping.code, (NOT_KNOWN,)):
            by_class.setdefault(label, []).append(part)
    labels = [label for label in grouping.order if label in by_class] or sorted(
        by_class, key=lambda label: (label == NOT_KNOWN, label.casefold())
    )
    return tuple(row_of(label, by_class[label]) for label in labels)


def row_of(label: str, parts: Sequence[Part]) -> ClassRow:
    """Return what some parts add up to; at least one."""
    by_load: dict[str, list[Part]] = {}
    for part in parts:
        by_load.setdefault(part.load, []).append(part)
    called = area_rate(
        [(_area(own), math.fsum(x.called_m2 for x in own)) for own in by_load.values()]
    )
    if called is None:
        raise ValueError("a class has at least one load")
    loads = [own[0] for own in by_load.values()]
    return ClassRow(
        label,
        called.area_m2,
        len(by_load),
        len({part.job for part in parts}),
        called,
        tuple(_raveled(by_load)),
        _median([load.lag_min for load in loads]),
        _median([load.drying_kg_m2_h for load in loads]),
    )


def _raveled(by_load: Mapping[str, Sequence[Part]]) -> Iterable[tuple[str, AreaRate]]:
    """A load of which a part was not graded, or two in different ways, is left out."""
    by_way: dict[str, list[tuple[float, float]]] = {}
    for own in by_load.values():
        ways = {part.graded_by for part in own}
        known = [part.raveled_m2 for part in own if part.raveled_m2 is not None]
        if len(ways) == 1 and len(known) == len(own):
            by_way.setdefault(ways.pop(), []).append((_area(own), math.fsum(known)))
    for way, loads in sorted(by_way.items()):
        rate = area_rate(loads)
        if rate is not None:
            yield way, rate


def _area(parts: Iterable[Part]) -> float:
    return math.fsum(part.area_m2 for part in parts)


def _median(values: Iterable[float | None]) -> float | None:
    known = [value for value in values if value is not None]
    return median(known) if known else None
