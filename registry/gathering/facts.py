"""What is known of a pavement and what is not, as lines of label and text for page and paper."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType
from typing import cast

from django.db.models import Field

from registry.gathering.demand import DemandOnDay
from registry.models import Criteria, Pavement, RunOnArea, Structure
from registry.models.entry import Entry
from registry.units import Kind, System, show

Show = Callable[[float, Kind, System], str]
NO_LIMITS: Mapping[str, Show] = MappingProxyType({})
# Fields of a pavement in the order of the sheet; a kind where the field is a quantity in SI.
PAVEMENT_FIELDS: tuple[tuple[str, Kind | None], ...] = (
    ("surface", None),
    ("use", None),
    ("traffic", None),
    ("accessible_route", None),
    ("state", None),
    ("area_m2", Kind.AREA),
    ("area_found_by", None),
    ("thickness_mm", Kind.SMALL_LENGTH),
    ("placed_on", None),
    ("placed_until_on", None),
    ("opened_to_feet_on", None),
    ("opened_to_wheels_on", None),
    ("substantial_completion_on", None),
    ("accepted_on", None),
    ("accepted_by", None),
    ("heavy_trees", None),
    ("winter_sand", None),
    ("bare_soil_run_on", None),
)
RECORD_FIELDS: tuple[tuple[str, Kind | None], ...] = (
    *PAVEMENT_FIELDS,
    ("misclosure_percent", None),
    ("lon", None),
    ("lat", None),
    ("datum_lon", None),
    ("datum_lat", None),
    ("bearing_of_up_deg", None),
    ("sheet_system", None),
    ("note", None),
)
"""All that a person may have written of a pavement, as its record lists it."""
STRUCTURE_FIELDS: tuple[tuple[str, Kind | None], ...] = (
    ("geotextile", None),
    ("liner", None),
    ("underdrain", None),
    ("underdrain_diameter_mm", Kind.SMALL_LENGTH),
    ("underdrain_outlet", None),
    ("soil_group", None),
    ("soil_rate_mm_h", Kind.INTENSITY),
    ("soil_tested_on", None),
    ("surface_slope_percent", None),
    ("bottom_slope_percent", None),
    ("overflow_below_surface_mm", Kind.SMALL_LENGTH),
    ("overflow_goes_to", None),
)
CRITERIA_FIELDS: tuple[tuple[str, Kind | None], ...] = (
    ("purpose", None),
    ("storm_return_yr", None),
    ("storm_duration_h", None),
    ("storm_depth_mm", Kind.SMALL_LENGTH),
    ("intensity_mm_h", Kind.INTENSITY),
    ("intensity_source", None),
    ("drawdown_limit_h", None),
    ("credited_area_m2", Kind.AREA),
    ("credited_storage_m3", Kind.VOLUME),
    ("test_interval_months", None),
    ("tests_per_visit", None),
)


@dataclass(frozen=True)
class Fact:
    """One line. `text` is empty where nothing is known; then `empty` says which kind of empty.

    `written` is what the person wrote, where it differs from what is shown.
    """

    label: str
    text: str
    empty: str = ""
    written: str = ""


def facts_of(
    row: Entry,
    fields: Sequence[tuple[str, Kind | None]],
    system: System,
    one_sided: Mapping[str, Show] = NO_LIMITS,
) -> tuple[Fact, ...]:
    """Return the lines of some fields of an entry, in the viewer's system.

    one_sided  by field, how a quantity is shown that may be rounded to one side only
    """
    return tuple(_fact(row, name, kind, system, one_sided.get(name, show)) for name, kind in fields)


def _fact(row: Entry, name: str, kind: Kind | None, system: System, show_it: Show) -> Fact:
    label = str(cast(Field, row._meta.get_field(name)).verbose_name)
    value = getattr(row, name)
    if value in (None, ""):
        return Fact(label, "", row.kind_of_empty(name))
    if kind is not None:
        text = show_it(value, kind, system)
    elif isinstance(value, bool):
        text = "yes" if value else "no"
    elif isinstance(value, date):
        text = value.isoformat()
    elif isinstance(value, float):
        text = f"{value:.10g}"  # a position on earth keeps its metres
    else:
        choose = getattr(row, f"get_{name}_display", None)
        text = str(choose() if choose else value)
    written = row.written(name)
    return Fact(label, text, "", written if written not in ("", text) else "")


def pavement_facts(pavement: Pavement, system: System) -> tuple[Fact, ...]:
    """Return the facts of a pavement."""
    return facts_of(pavement, PAVEMENT_FIELDS, system)


def record_facts(pavement: Pavement, system: System) -> tuple[Fact, ...]:
    """Return the facts of a pavement with its position on earth, its units and its remark."""
    return facts_of(pavement, RECORD_FIELDS, system)


def entry_facts(
    row: Entry, names: Sequence[str], quantities: Mapping[str, Kind], system: System
) -> tuple[Fact, ...]:
    """Return all that an entry beside a pavement can say, field by field as its form asks for it.

    Lists are left out: their words stand in the line of the entry. Layers of a structure and what
    the fields point to have to be fetched with the rows.
    """
    fields = [(name, quantities.get(name)) for name in names]
    plain = [(name, kind) for name, kind in fields if not isinstance(getattr(row, name), list)]
    layers = _layers(row, system) if isinstance(row, Structure) else ()
    return layers + facts_of(row, plain, system)


def structure_facts(structure: Structure, system: System) -> tuple[Fact, ...]:
    """Return the layers below a pavement, the top one first, then what else is known of them."""
    return _layers(structure, system) + facts_of(structure, STRUCTURE_FIELDS, system)


def _layers(structure: Structure, system: System) -> tuple[Fact, ...]:
    return tuple(
        Fact(
            layer.get_kind_display(),
            " ".join(
                part
                for part in (
                    show(layer.depth_mm, Kind.SMALL_LENGTH, system) if layer.depth_mm else "",
                    layer.stone_size,
                    f"voids {layer.void_ratio:.2f}"
                    + ("" if layer.void_ratio_is_measured else " assumed"),
                )
                if part
            ),
        )
        for layer in structure.layers.all()
    )


def criteria_facts(demand: DemandOnDay, system: System) -> tuple[Fact, ...]:
    """Return what a pavement has to do on a day, and what made each number."""
    row = demand.criteria
    if row is None:
        return (Fact("design criteria", "", demand.reason),)
    assumed = ", run-on assumed" if demand.is_run_on_assumed else ""
    level = ""
    if demand.action_mm_h is not None:
        made_by = {"given": "written in the document"}.get(demand.made_by, demand.made_by)
        level = f"{show(demand.action_mm_h, Kind.RATE, system, digits=1)} ({made_by}{assumed})"
    required = ratio = ""
    if demand.demand is not None:
        required = show(demand.demand.required_mm_h, Kind.RATE, system, digits=1) + assumed
        ratio = (
            f"{demand.demand.ratio:.2f} (paved {demand.demand.ratio_paved:.2f}, "
            f"soil {demand.demand.ratio_soil:.2f}){assumed}"
        )
    head = (
        Fact("by", _by(row)),
        Fact("action level", level, demand.reason),
        Fact("required rate", required, demand.no_demand),
        Fact("run-on ratio", ratio, demand.no_demand),
    )
    return head + facts_of(row, CRITERIA_FIELDS, system)


def _by(row: Criteria) -> str:
    begin = f", from {row.from_on.isoformat()}" if row.from_on else ""
    end = f" to {row.to_on.isoformat()}" if row.to_on else ""
    return f"{row.source_document}{begin}{end}"


def run_on_facts(areas: Iterable[RunOnArea], system: System) -> tuple[Fact, ...]:
    """Return one line for each area whose water crosses the pavement."""
    return tuple(_run_on(area, system) for area in areas)


def _run_on(area: RunOnArea, system: System) -> Fact:
    size = show(area.area_m2, Kind.AREA, system) if area.area_m2 else "area not known"
    share = area.runoff_coefficient
    parts = [
        size,
        f"runoff coefficient {share:g}" if share is not None else "runoff coefficient not known",
        f"enters {area.enters}" if area.enters else "",
        area.get_known_by_display(),
    ]
    return Fact(
        f"{area}, {area.get_kind_display()}" if area.name else str(area),
        ", ".join(p for p in parts if p),
    )


def what_is_not_known(facts: Iterable[Fact]) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Return the labels of empty facts by kind of empty, those nobody has looked at last."""
    by_kind: dict[str, list[str]] = defaultdict(list)
    for fact in facts:
        if not fact.text and fact.empty:
            by_kind[fact.empty].append(fact.label)
    order = {"not known": 0, "not measured": 1, "does not apply": 3, "not filled in yet": 4}
    return tuple(
        (kind, tuple(labels))
        for kind, labels in sorted(by_kind.items(), key=lambda pair: order.get(pair[0], 2))
    )
