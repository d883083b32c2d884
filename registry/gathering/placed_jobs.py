"""The jobs of a contractor: loads of many pavements over their plans, all by two questions."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from django.db.models import QuerySet

from registry.faults import DomainError
from registry.gathering.layouts import FoundLayout, assemble_layout, link_cuts
from registry.gathering.load_pattern import (
    Look,
    PlacedLoads,
    figures_by_name,
    looks_of,
    placed_from,
)
from registry.gathering.outlined_shares import outlined_looks
from registry.gathering.pours import root_of
from registry.models import (
    Edge,
    Load,
    Panel,
    Pavement,
    PlacingDay,
    Plan,
    RaveledShare,
    Spread,
    WeatherReading,
)
from registry.models.placing_day import PlacingDayQuerySet
from registry.models.raveled_share import RaveledShareQuerySet
from registry.models.together import together


@dataclass(frozen=True)
class Ground:
    """The plan in force of a pavement with all its panels, those that are no more included."""

    layout: FoundLayout
    panels: tuple[Panel, ...]

    def panel_on(self, name: str, day: date) -> Panel | None:
        """Return the panel of a name that was there on a day."""
        there = (row for row in self.panels if row.name == name and row.is_there_on(day))
        return next(there, None)


def concrete_of(panel: Panel) -> int:
    """Return the key of the panel as it was poured: a saw cut makes no new concrete."""
    return root_of(panel).pk


@dataclass(frozen=True)
class Job:
    """The loads of one concrete: of a pavement's new work, or of one repair there.

    panels  by name, as they were when the concrete was new;  edges  by the key of such a panel
    looks   raveled shares of this very concrete, as typed and as outlined or measured at defects
    """

    key: str
    name: str
    pavement: Pavement
    placed: PlacedLoads
    panels: Mapping[str, Panel]
    edges: Mapping[int, tuple[Edge, ...]]
    looks: tuple[Look, ...]

    @property
    def placed_on(self) -> date:
        """Return the last of its placing days."""
        return max(day.placed_on for day in self.placed.days)


@dataclass(frozen=True)
class Placed:
    """All jobs, oldest first, and the plans of their pavements by key."""

    jobs: tuple[Job, ...]
    grounds: Mapping[int, Ground]


def placed_jobs(
    days: PlacingDayQuerySet, shares: RaveledShareQuerySet, raveling: Sequence[QuerySet]
) -> Placed:
    """Return the jobs of days; one query beside that of the days.

    shares    typed raveled shares that may be seen, of whatever pavement
    raveling  `rows_of_looks` that may be seen: shares follow from them where nobody typed any
    """
    rows = list(days.in_order().select_related("pavement__site", "repair"))
    ids = [day.pk for day in rows]
    pavements = {day.pavement_id: day.pavement for day in rows}
    asked: Sequence[QuerySet] = (
        Load.objects.placed().filter(placing_day__in=ids),
        Spread.objects.standing().filter(load__placing_day__in=ids),
        WeatherReading.objects.standing().filter(placing_day__in=ids),
        Plan.objects.standing().filter(pavement__in=list(pavements)),
        Panel.objects.standing().filter(pavement__in=list(pavements)),
        Edge.objects.standing().filter(panel__pavement__in=list(pavements)),
        shares.standing().filter(pavement__in=list(pavements)),
        *raveling,
    )
    found = together(*asked) if rows else [[] for _ in asked]
    loads, spreads, weather, plans, panels, edges, seen, *looks = found
    link_cuts(panels)
    grounds = {pk: _ground(pavement, plans, panels) for pk, pavement in pavements.items()}
    by_panel: dict[int, tuple[Edge, ...]] = defaultdict(tuple)
    for edge in edges:
        by_panel[edge.panel_id] += (edge,)
    groups: dict[tuple[int, int | None], list[PlacingDay]] = defaultdict(list)
    for day in rows:
        groups[day.pavement_id, day.repair_id].append(day)
    jobs = [
        _job(own, grounds[own[0].pavement_id], (loads, spreads, weather), by_panel, (seen, *looks))
        for own in groups.values()
    ]
    return Placed(tuple(_told_apart(jobs)), grounds)


def _told_apart(jobs: Sequence[Job]) -> Iterable[Job]:
    """Two pavements may bear one name: their keys are added."""
    names = Counter(job.name for job in jobs)
    for job in jobs:
        yield job if names[job.name] == 1 else replace(job, name=f"{job.name} ({job.key})")


def _ground(pavement: Pavement, plans: Iterable[Plan], panels: Iterable[Panel]) -> Ground:
    own = [plan for plan in plans if plan.pavement_id == pavement.pk]
    if not own:
        return Ground(FoundLayout(None), ())
    plan = max(own, key=lambda plan: plan.number)
    drawn = tuple(
        row for row in panels if row.pavement_id == pavement.pk and row.plan_id in (None, plan.pk)
    )
    try:
        layout = FoundLayout(assemble_layout(plan, drawn, pavement, pavement.sheet_system))
    except DomainError as fault:
        layout = FoundLayout(None, fault.message)
    return Ground(layout, drawn)


Rows = tuple[Sequence[Load], Sequence[Spread], Sequence[WeatherReading]]


def _job(
    days: Sequence[PlacingDay],
    ground: Ground,
    rows: Rows,
    edges: Mapping[int, tuple[Edge, ...]],
    seen: Sequence[Sequence],
) -> Job:
    first = days[0]
    placed = placed_from(days, figures_by_name(days, *rows), ground.layout)
    new_on = max(day.placed_on for day in days)
    names = placed.shares.areas_m2 if placed.shares else ()
    panels = {name: row for name in names if (row := ground.panel_on(name, new_on))}
    looks: list[Look] = []
    if placed.shares:
        shares, *raveling = seen
        own = (row for row in shares if row.pavement_id == first.pavement_id)
        looks += looks_of(placed.shares, _of_concrete(own, ground, panels))
        looks += outlined_looks(placed, _of_job(raveling, first.pavement_id, ground, panels)).looks
    repair = f", repair {first.repair.number or first.repair.pk}" if first.repair else ""
    return Job(
        f"{first.pavement_id}-{first.repair_id or 0}",
        f"{first.pavement}{repair}",
        first.pavement,
        placed,
        panels,
        edges,
        tuple(looks),
    )


def _of_job(
    rows: Sequence[Sequence], pavement: int, ground: Ground, panels: Mapping[str, Panel]
) -> tuple[Sequence, ...]:
    """Return the rows of looks of one pavement, as far as they are of this very concrete.

    A defect at no panel stays: its outline counts where it lies.
    """
    defects, looks, extents, visits, walked = rows
    by_key = {panel.pk: panel for panel in ground.panels}
    concrete = {concrete_of(panel) for panel in panels.values()}

    def is_here(panel: int | None) -> bool:
        return panel in by_key and concrete_of(by_key[panel]) in concrete

    own = [
        row
        for row in defects
        if row.pavement_id == pavement and (row.panel_id is None or is_here(row.panel_id))
    ]
    kept = {row.pk for row in own}
    own_looks = [row for row in looks if row.defect_id in kept]
    seen = {row.pk for row in own_looks}
    own_visits = [row for row in visits if row.pavement_id == pavement]
    days = {row.pk for row in own_visits}
    return (
        own,
        own_looks,
        [row for row in extents if row.observation_id in seen],
        own_visits,
        [row for row in walked if row.visit_id in days and is_here(row.panel_id)],
        ground.panels,
    )


def _of_concrete(
    shares: Iterable[RaveledShare], ground: Ground, panels: Mapping[str, Panel]
) -> Iterable[RaveledShare]:
    """Leave out shares of a panel that had been replaced by the day of the look."""
    for row in shares:
        there = ground.panel_on(row.panel, row.looked_on)
        new = panels.get(row.panel)
        if there is not None and new is not None and concrete_of(there) == concrete_of(new):
            yield row
