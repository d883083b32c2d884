"""One line about an entry of the record: what tells it from others of its kind, with units."""

from collections.abc import Callable
from typing import Any

from registry.models import (
    Criteria,
    DirtSource,
    Edge,
    Joint,
    ObservationWell,
    PermitMinimum,
    RunOnArea,
    Section,
    Stratum,
    Structure,
)
from registry.models.entry import Entry
from registry.units import Kind, System, show


def entry_words(row: Entry, system: System) -> str:
    """Return what is known of an entry beside its name; an empty text where that says all.

    Layers of a structure have to be prefetched where many are told.
    """
    tell = _TELLERS.get(type(row))
    if tell is None:
        return ""
    return ", ".join(part for part in tell(row, system) if part)


def _quantity(value: float | None, kind: Kind, system: System, before: str = "") -> str:
    return "" if value is None else f"{before}{show(value, kind, system)}"


def _criteria(row: Criteria, system: System) -> tuple[str, ...]:
    return (
        _quantity(row.action_rate_mm_h, Kind.RATE, system, "action level "),
        _quantity(row.intensity_mm_h, Kind.INTENSITY, system, "design intensity "),
        f"section {row.section}" if row.section_id else "",
    )


def _run_on(row: RunOnArea, system: System) -> tuple[str, ...]:
    share = row.runoff_coefficient
    return (
        row.get_kind_display() if row.name else "",
        _quantity(row.area_m2, Kind.AREA, system) or "area not known",
        f"runoff coefficient {share:g}" if share is not None else "runoff coefficient not known",
        row.get_known_by_display(),
    )


def _dirt_source(row: DirtSource, system: System) -> tuple[str, ...]:
    return (row.detail, f"brings {row.get_brings_display()}" if row.brings else "")


def _structure(row: Structure, system: System) -> tuple[str, ...]:
    layers = (
        " ".join(
            part
            for part in (
                layer.get_kind_display(),
                _quantity(layer.depth_mm, Kind.SMALL_LENGTH, system),
            )
            if part
        )
        for layer in row.layers.all()
    )
    return (*layers, f"section {row.section}" if row.section_id else "")


def _well(row: ObservationWell, system: System) -> tuple[str, ...]:
    return (row.place, _quantity(row.depth_mm, Kind.SMALL_LENGTH, system, "depth "))


def _section(row: Section, system: System) -> tuple[str, ...]:
    return (
        _quantity(row.area_m2, Kind.AREA, system),
        _quantity(row.thickness_mm, Kind.SMALL_LENGTH, system, "thickness "),
    )


def _stratum(row: Stratum, system: System) -> tuple[str, ...]:
    placed = len(row.rectangles)
    where = f"{placed} rectangle{'s' if placed > 1 else ''} on the plan" if placed else ""
    return (_quantity(row.area_m2, Kind.AREA, system), where or "no place on the plan yet")


def _joint(row: Joint, system: System) -> tuple[str, ...]:
    return (
        row.get_kind_display(),
        _quantity(row.depth_mm, Kind.SMALL_LENGTH, system, "depth "),
    )


def _edge(row: Edge, system: System) -> tuple[str, ...]:
    return (f"against {row.get_against_display()}",)


def _permit_minimum(row: PermitMinimum, system: System) -> tuple[str, ...]:
    begins = (row.begins_month, row.begins_day)
    return (
        f"set by {row.set_by}",
        "" if begins == (1, 1) else f"year from {row.begins_month:02d}-{row.begins_day:02d}",
        f"counted: {row.methods_in_words}" if row.methods else "",
    )


_TELLERS: dict[type[Entry], Callable[[Any, System], tuple[str, ...]]] = {
    Criteria: _criteria,
    PermitMinimum: _permit_minimum,
    RunOnArea: _run_on,
    DirtSource: _dirt_source,
    Structure: _structure,
    ObservationWell: _well,
    Section: _section,
    Stratum: _stratum,
    Joint: _joint,
    Edge: _edge,
}
