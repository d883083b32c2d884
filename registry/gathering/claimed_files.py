"""The files of claimed panels, each from the record of the pour that lay there at the notice."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import QuerySet

from registry.gathering.cover_figures import cover_rows, cure_of
from registry.gathering.layouts import FoundLayout, find_layout
from registry.gathering.load_pattern import PlacedLoads, figures_by_name, placed_from
from registry.gathering.outlined_shares import every_look, looks_at_pour
from registry.gathering.panel_records import OnePour, PanelFile, panel_files
from registry.gathering.pours import Pour, notice_day, pours_of, root_of
from registry.models import (
    Callback,
    Core,
    Load,
    PanelEvidence,
    PlacingDay,
    RaveledShare,
    Spread,
    WeatherReading,
    WinterEntry,
)
from registry.models.raveled_share import RaveledShareQuerySet
from registry.models.together import together
from registry.models.winter_entry import WinterEntryQuerySet
from registry.plan import Panel as PlanPanel


@dataclass(frozen=True)
class _Rows:
    """What one question found: of all days, and beside them what the page may show."""

    loads: Sequence[Load]
    spreads: Sequence[Spread]
    weather: Sequence[WeatherReading]
    shares: Sequence[RaveledShare]
    winter: Sequence[WinterEntry]
    cores: Sequence[Core]
    said: Sequence[PanelEvidence]
    covers: Sequence[Sequence]
    raveling: Sequence[Sequence]


def claimed_files(
    row: Callback,
    days: Sequence[PlacingDay],
    shares: RaveledShareQuerySet,
    winter: WinterEntryQuerySet,
    cores: QuerySet[Core],
    raveling: Sequence[QuerySet],
) -> list[PanelFile]:
    """Return the file of every claimed panel, in the order claimed; one query beside the plan.

    days      of new work and of repairs, each with its repair; all that is given may be seen
    raveling  the questions of `raveling_rows`
    """
    for day in days:
        day.pavement = row.pavement
    rows = _rows_of(row, days, (shares, winter, cores), raveling)
    return _files(row, days, rows)


def _rows_of(
    row: Callback,
    days: Sequence[PlacingDay],
    beside: Sequence[QuerySet],
    raveling: Sequence[QuerySet],
) -> _Rows:
    ids, covered = [day.pk for day in days], cover_rows(days)
    loads, spreads, weather, shares, winter, cores, said, *more = together(
        Load.objects.placed().filter(placing_day__in=ids),
        Spread.objects.standing().filter(load__placing_day__in=ids),
        WeatherReading.objects.standing().filter(placing_day__in=ids),
        *beside,
        row.evidence.standing().select_related("entered_for"),
        *covered,
        *raveling,
    )
    covers, looks = more[: len(covered)], more[len(covered) :]
    return _Rows(loads, spreads, weather, shares, winter, cores, said, covers, looks)


def _files(row: Callback, days: Sequence[PlacingDay], rows: _Rows) -> list[PanelFile]:
    winter = sorted(rows.winter, key=lambda line: (line.done_on, line.pk))
    layout = find_layout(row.pavement)
    files: dict[str, PanelFile] = {}
    on = notice_day(row)
    for pour in pours_of(rows.raveling[-1], on, days, names=row.panels):
        if claimed := [name for name in row.panels if name in pour.panels]:
            one = _one_pour(pour, layout, rows)
            for file in panel_files(claimed, one, winter=winter, said=rows.said):
                files[file.panel] = file
    return [files[name] for name in row.panels]


def _one_pour(pour: Pour, layout: FoundLayout, rows: _Rows) -> OnePour:
    placed = _placed(pour, layout, rows)
    if placed.shares is not None:
        looks = every_look(placed, rows.shares, rows.raveling).looks
    elif pour.is_new_work and not placed.days:
        looks = ()  # whoever may not see the placing of new work reads looks on their own pages
    else:
        looks = looks_at_pour(
            placed.panels, rows.shares, rows.raveling, since=pour.since, until=pour.until
        )
    own = {day.pk for day in pour.days}
    covers = [[one for one in found if one.placing_day_id in own] for found in rows.covers]
    cores = [core for core in rows.cores if _is_out_of(core, pour)]
    return OnePour(pour, placed, looks, cure_of(pour.days, covers), cores)


def _placed(pour: Pour, layout: FoundLayout, rows: _Rows) -> PlacedLoads:
    if pour.is_new_work:
        return placed_from(pour.days, _figures(pour, rows), layout)
    if pour.missing:
        return PlacedLoads((), {}, _panels(pour, layout), None, pour.missing)
    return placed_from(pour.days, _figures(pour, rows), layout, panels=_panels(pour, layout))


def _figures(pour: Pour, rows: _Rows) -> dict:
    return figures_by_name(pour.days, rows.loads, rows.spreads, rows.weather)


def _panels(pour: Pour, layout: FoundLayout) -> tuple[PlanPanel, ...]:
    """Return the panels of a repair's concrete as they were when it was new."""
    there = layout.layout.panels_on(pour.until) if layout.layout is not None else ()
    return tuple(panel for panel in there if panel.name in pour.panels)


def _is_out_of(core: Core, pour: Pour) -> bool:
    """Say whether a core was taken while this concrete lay there."""
    panel = pour.panels.get(core.panel)
    if panel is None:
        return pour.is_new_work
    root = root_of(panel)
    begun = root.exists_from_on is None or root.exists_from_on <= core.taken_on
    return begun and (panel.exists_to_on is None or core.taken_on <= panel.exists_to_on)
