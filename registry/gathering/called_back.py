"""Which concrete was called back: claimed panels on the plan of the day a notice came in."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from zoneinfo import ZoneInfo

import shapely
from shapely.geometry.base import BaseGeometry

from registry.gathering.layouts import plan_panel
from registry.gathering.placed_jobs import Placed, concrete_of
from registry.models import Callback, PanelFinding
from registry.models.callback import CallbackQuerySet
from registry.models.panel_finding import Confidence
from registry.models.together import together

FOUND = frozenset({Confidence.SHOWN, Confidence.LIKELY})


@dataclass(frozen=True)
class CalledBack:
    """Outlines called back by concrete, m, and what could not be laid over any load.

    callbacks  how many stand behind the outlines;  apart  (callback, why) of the others
    """

    outlines: Mapping[int, BaseGeometry]
    callbacks: int
    apart: tuple[tuple[Callback, str], ...]


def called_back(placed: Placed, callbacks: CallbackQuerySet, *, cause: str = "") -> CalledBack:
    """Lay claimed panels over the plans of jobs; one query.

    Those withdrawn do not count. `cause` leaves only panels for which somebody found it, shown or
    likely.
    """
    rows = callbacks.standing().exclude(state="withdrawn").filter(pavement__in=list(placed.grounds))
    findings = PanelFinding.objects.standing().filter(
        callback__in=rows.values("pk"), cause=cause, confidence__in=FOUND
    )
    found, named = together(rows, findings) if placed.grounds else ([], [])
    panels = {(row.callback_id, row.panel) for row in named} if cause else None
    with_loads = {
        concrete_of(row)
        for job in placed.jobs
        for name, row in job.panels.items()
        if job.placed.shares and job.placed.shares.of_panel(name)
    }
    return _laid(placed, found, panels, with_loads)


def _laid(
    placed: Placed,
    rows: Sequence[Callback],
    named: Collection[tuple[int, str]] | None,
    with_loads: Collection[int],
) -> CalledBack:
    outlines: dict[int, list[BaseGeometry]] = defaultdict(list)
    apart: list[tuple[Callback, str]] = []
    counted = 0
    for row in rows:
        claimed = [p for p in row.panels if named is None or (row.pk, p) in named]
        if named is not None and not claimed:
            continue
        if not claimed:
            apart.append((row, "It names no panel."))
            continue
        missed = []
        for name in claimed:
            panel = placed.grounds[row.pavement_id].panel_on(name, _came_in(row, placed))
            if panel is None or concrete_of(panel) not in with_loads:
                missed.append(name)
            else:
                outlines[concrete_of(panel)].append(plan_panel(panel).polygon)
        counted += len(missed) < len(claimed)
        if missed:
            apart.append((row, f"No load of these years is known where {', '.join(missed)} lies."))
    united = {key: shapely.union_all(parts) for key, parts in outlines.items()}
    return CalledBack(united, counted, tuple(apart))


def _came_in(row: Callback, placed: Placed) -> date:
    """Return the day whose plan the claimed panels are names on."""
    jobs: Iterable = placed.jobs
    pavement = next(job.pavement for job in jobs if job.pavement.pk == row.pavement_id)
    at = row.received_at or row.entered_at
    return row.counted_on or at.astimezone(ZoneInfo(pavement.site.time_zone)).date()
