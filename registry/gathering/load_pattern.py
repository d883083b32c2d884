"""Loads laid over the panels of the days they were placed on, and what each of them raveled."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import QuerySet

from registry.faults import DomainError
from registry.gathering.layouts import FoundLayout, find_layout
from registry.gathering.load_figures import LoadFigures, figures_of
from registry.models import Load, Pavement, PlacingDay, RaveledShare, WeatherReading
from registry.models import Spread as SpreadRow
from registry.models.together import together
from registry.placing.covered_late import LateRule, chosen_rule, late_rules
from registry.placing.faults import NotGiven
from registry.placing.groups import Compared, SideBySide, against_the_rest, side_by_side
from registry.placing.load_shares import (
    LoadShares,
    Spread,
    change_by_load,
    lay_over,
    raveled_by_load,
)
from registry.placing.pattern import (
    AIR,
    DENSITY,
    EVAPORATION,
    FACTORS,
    LAG,
    SEED,
    WAIT,
    WATER,
    LoadRow,
    Pattern,
    pattern,
)
from registry.placing.water import WaterCement
from registry.plan import Panel
from registry.units import Kind, System, from_si

NO_DAY = (
    "No placing day that you may see is on record, so no load is laid over the plan. The "
    "contractor who placed it reads its days, owner, manager, buyer and evaluator from the "
    "hand-over on; a municipality reads lots and their acceptance alone."
)


@dataclass(frozen=True)
class PlacedLoads:
    """All loads of a pavement's days over its panels, with their figures by load name.

    `shares` is None where `trouble` says why nothing can be laid over the plan; `toward` is what
    lies in the direction of up.
    """

    days: tuple[PlacingDay, ...]
    figures: Mapping[str, LoadFigures]
    panels: tuple[Panel, ...]
    shares: LoadShares | None
    trouble: str = ""
    toward: str = ""


def placed_loads(
    pavement: Pavement, days: Sequence[PlacingDay], *beside: QuerySet
) -> tuple[PlacedLoads, list[list[Any]]]:
    """Return the loads of days, laid over the plan as it was when the concrete was new.

    Repairs are other concrete: leave their days out of `days`. `beside` are more rows that the
    caller needs, asked for by the same question and returned in their order.
    """
    ids = [day.pk for day in days]
    loads, spreads, weather, *more = together(
        Load.objects.placed().filter(placing_day__in=ids),
        SpreadRow.objects.standing().filter(load__placing_day__in=ids),
        WeatherReading.objects.standing().filter(placing_day__in=ids),
        *beside,
    )
    for day in days:
        day.pavement = pavement
    figures = figures_by_name(days, loads, spreads, weather)
    return placed_from(days, figures, find_layout(pavement)), more


def placed_from(
    days: Sequence[PlacingDay],
    figures: Mapping[str, LoadFigures],
    found: FoundLayout,
    *,
    panels: tuple[Panel, ...] | None = None,
) -> PlacedLoads:
    """Return the loads of rows that were fetched, laid over a layout; no query is made.

    panels  those of this concrete alone, where others lie beside it; None: all on the plan then
    """
    if not days:
        return PlacedLoads((), figures, (), None, NO_DAY)
    layout = found.layout
    if layout is None:
        return PlacedLoads(tuple(days), figures, (), None, found.trouble or "No plan is drawn.")
    if panels is None:
        panels = tuple(layout.panels_on(max(day.placed_on for day in days)))
    shares, trouble = lay_named({name: one.spreads for name, one in figures.items()}, panels)
    return PlacedLoads(tuple(days), figures, panels, shares, trouble, layout.datum.up_toward)


def figures_by_name(
    days: Sequence[PlacingDay],
    loads: Sequence[Load],
    spreads: Sequence[SpreadRow],
    weather: Sequence[WeatherReading],
) -> dict[str, LoadFigures]:
    """Return the figures of the loads of one concrete's days, each with its pavement, by name."""
    figures: dict[str, LoadFigures] = {}
    for day in days:
        own = [load for load in loads if load.placing_day_id == day.pk]
        own.sort(key=lambda load: (load.order_on_day, load.pk))
        for load in own:
            load.placing_day = day
        read = [row for row in weather if row.placing_day_id == day.pk]
        read.sort(key=lambda row: (row.at, row.pk))
        for found in figures_of(day, own, spreads, read):
            figures[load_name(found.load.number, figures, day)] = found
    return figures


def load_name(number: str, taken: Collection[str], day: PlacingDay) -> str:
    """Return the number of a load, with its day where two days number from 1."""
    return number if number not in taken else f"{number} of {day.placed_on:%m-%d}"


def lay_named(
    named: Mapping[str, Iterable[SpreadRow]], panels: Sequence[Panel]
) -> tuple[LoadShares | None, str]:
    """Return the spreads of loads by name laid over panels; or nothing, and why."""
    if not panels:
        return None, "The plan has no panels: loads are not laid over stations or squares."
    try:
        spreads = [
            Spread(name, one.lane, one.from_m, one.to_m)
            for name, rows in named.items()
            for one in rows
        ]
        if not spreads:
            return None, "No limits of loads are written down: lane, from and to of each."
        return lay_over(spreads, panels), ""
    except DomainError as fault:
        return None, fault.message


@dataclass(frozen=True)
class Look:
    """Raveled shares of one day and one way of grading, by panel and by load."""

    on: date
    graded_by: str
    word: str
    by_panel: Mapping[str, float]
    by_load: Mapping[str, float | NotGiven]


def looks_of(shares: LoadShares, rows: Iterable[RaveledShare]) -> list[Look]:
    """Return the looks, oldest first; those graded in different ways stand side by side (N17)."""
    groups: dict[tuple[date, str], dict[str, RaveledShare]] = {}
    for row in rows:
        if row.panel in shares.areas_m2:
            groups.setdefault((row.looked_on, row.graded_by), {})[row.panel] = row
    found = []
    for (on, how), panels in sorted(groups.items()):
        by_panel = {name: row.share for name, row in panels.items()}
        methods = dict.fromkeys(by_panel, how)
        word = str(next(iter(panels.values())).get_graded_by_display())
        found.append(Look(on, how, word, by_panel, raveled_by_load(shares, by_panel, methods)))
    return found


def changes_of(before: Look, after: Look) -> dict[str, float | NotGiven]:
    """Return what each load gained between two looks of one way of grading."""
    if before.graded_by != after.graded_by:
        why = NotGiven("Graded by different methods: they cannot be compared.")
        return dict.fromkeys(before.by_load, why)
    return change_by_load(before.by_load, after.by_load)


def factor_rows(placed: PlacedLoads, outcome: Mapping[str, float | NotGiven]) -> list[LoadRow]:
    """Return one row a load: its raveled share, and its numbers by factor."""
    return [
        LoadRow(name, _number(outcome.get(name)), _factors(found), _bounds(found))
        for name, found in placed.figures.items()
    ]


def pattern_of(
    placed: PlacedLoads, outcome: Mapping[str, float | NotGiven], *, seed: int = SEED
) -> Pattern | NotGiven:
    """Return N18 of every factor, one value a load."""
    try:
        return pattern(factor_rows(placed, outcome), FACTORS, seed=seed)
    except DomainError as fault:
        return NotGiven(fault.message)


def _factors(found: LoadFigures) -> dict[str, float | None]:
    system = System(found.load.system)
    water = found.water.value if isinstance(found.water, WaterCement) else None
    drying = None if isinstance(found.drying, NotGiven) else found.drying.value
    density, air = found.load.density_kg_m3, _air(found)
    return {
        LAG.code: found.lag_min,
        WAIT.code: found.wait_min,
        EVAPORATION.code: drying,
        WATER.code: water,
        DENSITY.code: None if density is None else from_si(density, Kind.DENSITY, system),
        AIR.code: air,
    }


def _bounds(found: LoadFigures) -> frozenset[str]:
    """Return the factors of which only a least number is known."""
    is_least = isinstance(found.water, WaterCement) and found.water.at_least
    return frozenset({WATER.code} if is_least else ())


def _air(found: LoadFigures) -> float | None:
    system = System(found.load.system)
    air = found.reading.air_c if found.reading else None
    return None if air is None else from_si(air, Kind.TEMPERATURE, system)


@dataclass(frozen=True)
class LateGroup:
    """The loads covered later than a limit, against the rest; the rule has the limit's source."""

    rule: LateRule
    late: tuple[str, ...]
    compared: Compared | NotGiven


def late_groups(
    placed: PlacedLoads, look: Look, *, over_min: float | None = None
) -> tuple[LateGroup, ...]:
    """Return late loads against the rest, by each limit that counts, or by one that was typed."""
    limits = {
        name: (f"{found.load.placing_day.placed_on}", found.load.placing_day.cover_within_min)
        for name, found in placed.figures.items()
    }
    rules = late_rules(limits) if over_min is None else (chosen_rule(limits, over_min),)
    return tuple(_late_group(placed, look, rule) for rule in rules)


def _late_group(placed: PlacedLoads, look: Look, rule: LateRule) -> LateGroup:
    """Return the area-weighted mean of the late loads and of the rest."""
    minutes = {name: found.lag_min for name, found in placed.figures.items()}
    late, decided = rule.late(minutes), rule.decided(minutes)
    if placed.shares is None:
        return LateGroup(rule, late, NotGiven(placed.trouble))
    areas = {name: placed.shares.area_of(name) for name in placed.shares.loads}
    shares = {
        name: share if name in decided else NotGiven("Not known whether it was covered late.")
        for name, share in look.by_load.items()
    }
    return LateGroup(rule, late, against_the_rest(shares, areas, late))


def neighbours(placed: PlacedLoads, look: Look) -> tuple[SideBySide, ...]:
    """Return neighbouring panels of different loads, the largest difference first."""
    if placed.shares is None:
        return ()
    return side_by_side(placed.shares, placed.panels, look.by_panel)


def _number(value: float | NotGiven | None) -> float | None:
    return value if isinstance(value, float | int) else None
