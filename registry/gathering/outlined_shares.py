"""Raveled shares of days from the looks at raveling defects, beside those that were typed (N17)."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import shapely
from django.db.models import QuerySet
from shapely.geometry.base import BaseGeometry

from registry.gathering.layouts import link_cuts
from registry.gathering.load_pattern import Look, PlacedLoads, looks_of
from registry.gathering.plan_defects import shape_of
from registry.gathering.pours import shares_of_pour
from registry.models import (
    Defect,
    Observation,
    Panel,
    Pavement,
    PhotoExtent,
    RaveledShare,
    WalkedPanel,
)
from registry.models.defect import DefectQuerySet
from registry.models.observation import ObservationQuerySet
from registry.models.visit import VisitQuerySet
from registry.placing.faults import NotGiven
from registry.placing.load_shares import LoadShares, raveled_by_load
from registry.placing.outlined import Seen, Shares, Way, raveled_shares
from registry.placing.ways import compared_of, order_of
from registry.plan import Panel as PlanPanel
from registry.plan.shapes import ShapeKind

AGREES = 0.05
"""An outline is of a day where its area and that of the look lie within this. House rule."""


def raveling_rows(
    pavement: Pavement,
    defects: DefectQuerySet,
    looks: ObservationQuerySet,
    visits: VisitQuerySet,
) -> tuple[QuerySet, ...]:
    """Return the questions for what `outlined_looks` takes; all three are what may be seen."""
    return (*rows_of_looks(defects, looks, visits), pavement.panels.standing())


def rows_of_looks(
    defects: DefectQuerySet, looks: ObservationQuerySet, visits: VisitQuerySet
) -> tuple[QuerySet, ...]:
    """Return all of `raveling_rows` but the panels, of whatever pavements.

    Of visits only those of days on which raveling was looked at: others clear no panel.
    """
    raveling = defects.standing().raveling()
    seen = looks.standing().filter(defect__in=raveling.values("pk"))
    walked = visits.standing().filter(done_on__in=seen.values("seen_on"))
    return (
        raveling,
        seen,
        PhotoExtent.objects.standing().filter(observation__in=seen.values("pk")),
        walked,
        WalkedPanel.objects.filter(visit__in=walked.values("pk"), is_unseen=False),
    )


Untold = tuple[date, tuple[tuple[str, str], ...]]
"""A day, and (panel, why) of panels to which the looks of that day give no share."""


@dataclass(frozen=True)
class Outlined:
    """Looks from defects, and what they leave open."""

    looks: tuple[Look, ...]
    untold: tuple[Untold, ...]


@dataclass(frozen=True)
class _Record:
    defects: Mapping[int, Defect]
    looks: Mapping[date, Mapping[int, Observation]]
    extents: Mapping[int, Sequence[PhotoExtent]]
    walked: Mapping[date, frozenset[str]]
    panels: Mapping[int, Panel]
    last: Mapping[int, int]


def every_look(
    placed: PlacedLoads, typed: Iterable[RaveledShare], rows: Sequence[Sequence]
) -> Outlined:
    """Return all looks at raveling, typed or of defects, in order; the same for every reader.

    Those at panels that were other concrete on the day of the look are left out.
    """
    outlined = outlined_looks(placed, rows)
    if placed.shares is None or not placed.days:
        return outlined
    since, until = _span(placed)
    link_cuts(rows[-1])
    own = shares_of_pour(typed, rows[-1], since=since, until=until)
    found = looks_of(placed.shares, own)
    return Outlined(tuple(in_order([*found, *outlined.looks])), outlined.untold)


def looks_at_pour(
    panels: Sequence[PlanPanel],
    typed: Iterable[RaveledShare],
    rows: Sequence[Sequence],
    *,
    since: date | None,
    until: date,
) -> tuple[Look, ...]:
    """Return all looks at a pour of which no load limits are known: shares by panel alone."""
    link_cuts(rows[-1])
    names = {panel.name for panel in panels}
    groups: dict[tuple[date, str], list[RaveledShare]] = defaultdict(list)
    for row in shares_of_pour(typed, rows[-1], since=since, until=until):
        if row.panel in names:
            groups[row.looked_on, row.graded_by].append(row)
    found = [
        Look(on, how, str(own[0].get_graded_by_display()), {x.panel: x.share for x in own}, {})
        for (on, how), own in groups.items()
    ]
    for day in outlined_days(panels, until, rows, since=since):
        found += [
            Look(day.on, way.value, way.word, own, {}) for way, own in day.shares.by_way.items()
        ]
    return tuple(in_order(found))


def _span(placed: PlacedLoads) -> tuple[date | None, date]:
    """Return the days between which this concrete was poured; new work has no first one."""
    days = [day.placed_on for day in placed.days]
    return (min(days) if placed.days[0].repair_id else None), max(days)


def outlined_looks(placed: PlacedLoads, rows: Sequence[Sequence]) -> Outlined:
    """Return the raveled shares of every day on which raveling was looked at; no query is made.

    rows  what the questions of `raveling_rows` found. Defects of other concrete are left out.
    """
    if placed.shares is None or not placed.days:
        return Outlined((), ())
    shares = placed.shares
    since, until = _span(placed)
    days = outlined_days(placed.panels, until, rows, since=since)
    found = [
        _look(shares, day.on, way, own) for day in days for way, own in day.shares.by_way.items()
    ]
    untold = [(day.on, day.shares.untold) for day in days if day.shares.untold]
    return Outlined(tuple(found), tuple(untold))


@dataclass(frozen=True)
class OutlinedDay:
    """What was seen of raveling on one day, and the shares of panels that follow from it."""

    on: date
    seen: tuple[Seen, ...]
    shares: Shares


def outlined_days(
    panels: Sequence[PlanPanel],
    new_on: date,
    rows: Sequence[Sequence],
    *,
    since: date | None = None,
) -> tuple[OutlinedDay, ...]:
    """Return every day on which raveling was looked at, oldest first; no query is made.

    new_on  last day on which this concrete was placed
    rows    what the questions of `raveling_rows` found
    since   first day on which it was placed, where it lies in the place of older concrete
    """
    record = _record(rows, new_on, since)
    found = []
    for on, looks in sorted(record.looks.items()):
        seen, unknown = _seen(record, looks, panels, on)
        clear = record.walked.get(on, frozenset())
        shares = raveled_shares(seen, panels, clear=clear, unknown=unknown)
        found.append(OutlinedDay(on, tuple(seen), shares))
    return tuple(found)


def in_order(looks: Iterable[Look]) -> list[Look]:
    """Oldest day first; of one day the look at the most panels, of two alike the surer."""
    return sorted(looks, key=lambda x: order_of(x.on, len(x.by_panel), x.graded_by))


def compared_first(looks: Sequence[Look], chosen: str = "") -> list[Look]:
    """Return the look that is compared, then all later ones; chosen is its `key_of`."""
    nth = compared_of([_loads(look) for look in looks])
    if nth is None:
        return []
    first = next((look for look in looks if key_of(look) == chosen), looks[nth])
    return [first, *(look for look in looks if look.on > first.on)]


def key_of(look: Look) -> str:
    """Return the name of a look in an address: its day and its way of grading."""
    return f"{look.on}-{look.graded_by}"


def _loads(look: Look) -> int:
    return sum(1 for share in look.by_load.values() if not isinstance(share, NotGiven))


def _look(shares: LoadShares, on: date, way: Way, by_panel: Mapping[str, float]) -> Look:
    by_load = raveled_by_load(shares, by_panel, dict.fromkeys(by_panel, way.value))
    return Look(on, way.value, way.word, by_panel, by_load)


def _record(rows: Sequence[Sequence], new_on: date, since: date | None) -> _Record:
    defects, looks, extents, visits, walked, panels = rows
    by_panel = {panel.pk: panel for panel in panels}
    own = {row.pk: row for row in defects if _is_of(row, by_panel, new_on, since)}
    by_day: dict[date, dict[int, Observation]] = defaultdict(dict)
    last: dict[int, int] = {}
    for look in sorted(looks, key=lambda look: (look.seen_on, look.pk)):
        if look.defect_id in own and (since is None or since <= look.seen_on):
            by_day[look.seen_on][look.defect_id] = look
            if look.found == Observation.Found.FOUND:
                last[look.defect_id] = look.pk
    by_look: dict[int, list[PhotoExtent]] = defaultdict(list)
    for extent in extents:
        by_look[extent.observation_id].append(extent)
    days = {visit.pk: visit.done_on for visit in visits}
    names: dict[date, set[str]] = defaultdict(set)
    for row in walked:
        names[days[row.visit_id]].add(by_panel[row.panel_id].name)
    walks = {on: frozenset(own) for on, own in names.items()}
    return _Record(own, by_day, by_look, walks, by_panel, last)


def _is_of(row: Defect, panels: Mapping[int, Panel], new_on: date, since: date | None) -> bool:
    """Say whether a defect is of the concrete of these days, not of older or newer there."""
    poured = row.concrete_placed_on
    panel = panels.get(row.panel_id) if row.panel_id else None
    while poured is None and panel is not None and panel.cut_from_id:
        panel = panels.get(panel.cut_from_id)
    if poured is None and panel is not None:
        poured = panel.exists_from_on
    if poured is None:
        return since is None or (panel is None and row.first_seen_on >= since)
    return poured <= new_on and (since is None or since <= poured)


def _seen(
    record: _Record, looks: Mapping[int, Observation], panels: Sequence[PlanPanel], on: date
) -> tuple[list[Seen], set[str]]:
    """Return the extents of a day, and the panels of raveling without one."""
    seen: list[Seen] = []
    unknown: set[str] = set()
    for pk, defect in record.defects.items():
        look = looks.get(pk)
        if look is not None and look.found == Observation.Found.NOT_FOUND:
            continue
        if look is None and not (defect.is_open and defect.first_seen_on <= on):
            continue
        took = look is not None and look.found == Observation.Found.FOUND
        extent = _extent(record, defect, look) if took and look is not None else None
        if extent is None:
            unknown |= _reached(record, defect, panels)
        else:
            seen.append(extent)
    return seen, unknown


def _extent(record: _Record, defect: Defect, look: Observation) -> Seen | None:
    photos = [row.on_plan for row in record.extents.get(look.pk, ()) if row.outline_kind == "area"]
    on_plan = [outline for points in photos if (outline := _area(points)) is not None]
    if on_plan and len(on_plan) == len(photos):
        return Seen(str(defect), Way.PHOTO, shapely.union_all(on_plan))
    drawn = _area(defect.outline) if defect.outline_kind == "area" else None
    if drawn is not None and _is_of_look(drawn, look, record.last.get(defect.pk)):
        return Seen(str(defect), Way.PLAN, drawn)
    panel = record.panels.get(defect.panel_id) if defect.panel_id else None
    area = _written_m2(defect, look)
    if panel is None or area is None:
        return None
    return Seen(str(defect), Way.SHARE, panel=panel.name, area_m2=area)


def _is_of_look(drawn: BaseGeometry, look: Observation, last: int | None) -> bool:
    """An outline has no day: it is of a look that has its area, or of the last without one."""
    if look.area_m2 is None:
        return look.pk == last
    return abs(drawn.area - look.area_m2) <= AGREES * max(drawn.area, look.area_m2)


def _written_m2(defect: Defect, look: Observation) -> float | None:
    """Return the area written; of a band along a joint or edge its length times its width."""
    if look.area_m2 is not None or defect.kind != "edge_raveling":
        return look.area_m2
    both = look.length_m is not None and look.width_m is not None
    return look.length_m * look.width_m if both else None  # type: ignore[operator]


def _reached(record: _Record, defect: Defect, panels: Sequence[PlanPanel]) -> set[str]:
    panel = record.panels.get(defect.panel_id) if defect.panel_id else None
    names = {panel.name} if panel is not None else set()
    outline = _area(defect.outline) if defect.outline_kind == "area" else None
    if outline is not None:
        names |= {one.name for one in panels if outline.intersects(one.polygon)}
    return names


def _area(points: Collection) -> BaseGeometry | None:
    shape = shape_of("area", list(points)) if points else None
    return shape.geometry if shape is not None and shape.kind == ShapeKind.AREA else None
