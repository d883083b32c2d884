"""What some years of placing show: areas called back and raveled by class, and N18 over jobs."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from zoneinfo import ZoneInfo

import shapely
from django.db.models import QuerySet

from registry.gathering.called_back import CalledBack, called_back
from registry.gathering.load_figures import LoadFigures
from registry.gathering.load_pattern import Look, factor_rows
from registry.gathering.outlined_shares import in_order
from registry.gathering.placed_jobs import Job, concrete_of, placed_jobs
from registry.models import Edge
from registry.models.callback import CallbackQuerySet
from registry.models.placing_day import PlacingDayQuerySet
from registry.models.raveled_share import RaveledShareQuerySet
from registry.placing.evaporation import Evaporation
from registry.placing.faults import NotGiven
from registry.placing.load_classes import (
    CREW,
    EDGE,
    EVAPORATION,
    GROUPINGS,
    HOUR,
    LAG,
    NOT_KNOWN,
    PLANT,
    WAIT,
    ClassRow,
    Grouping,
    Part,
    class_rows,
    drying_class,
    hour_class,
    lag_class,
    row_of,
    wait_class,
)
from registry.placing.load_shares import Piece
from registry.placing.pattern import FACTORS, SEED, LoadRow, Pattern, pattern
from registry.placing.pooling import MOST_LOADS, JobLoads, Pooled, first_look, pool
from registry.units import Kind, System, to_si

NO_EDGE = "no edge written down"


@dataclass(frozen=True)
class JobLine:
    """One job as its line tells it: loads on the plan, its first look that counts, or why none."""

    job: Job
    loads: int
    trouble: str
    look: Look | None
    no_look: str


@dataclass(frozen=True)
class PlacingYears:
    """What the years show.

    whole    all loads together, None without any
    tables   (grouping, its rows)
    pattern  N18 over the jobs `together`; `apart` are those that may not stand with them, and why
    """

    jobs: tuple[JobLine, ...]
    whole: ClassRow | None
    tables: tuple[tuple[Grouping, tuple[ClassRow, ...]], ...]
    called: CalledBack
    together: tuple[Job, ...]
    apart: tuple[tuple[Job, str], ...]
    pattern: Pattern | NotGiven


def placing_years(
    days: PlacingDayQuerySet,
    callbacks: CallbackQuerySet,
    shares: RaveledShareQuerySet,
    raveling: Sequence[QuerySet],
    *,
    cause: str = "",
) -> PlacingYears:
    """Return the tables of all loads of `days`; three queries, however many jobs.

    shares, raveling  as `placed_jobs` takes them
    """
    placed = placed_jobs(days, shares, raveling)
    called = called_back(placed, callbacks, cause=cause)
    lines = tuple(_line(job) for job in placed.jobs)
    parts = [part for line in lines for part in _parts(line, called)]
    tables = tuple((one, class_rows(parts, one)) for one in GROUPINGS) if parts else ()
    whole = row_of("all loads", parts) if parts else None
    pooled = pool([found for line in lines if (found := _job_loads(line))])
    by_key = {job.key: job for job in placed.jobs}
    together = tuple(by_key[key] for key in pooled.jobs)
    apart = tuple((by_key[key], why) for key, why in pooled.apart)
    return PlacingYears(lines, whole, tables, called, together, apart, _pattern(lines, pooled))


def _line(job: Job) -> JobLine:
    looks = _not_of_a_few_panels(job)
    on = first_look(job.placed_on, (look.on for look in looks))
    shares = job.placed.shares
    loads = len([name for name in shares.loads if shares.of_load(name)]) if shares else 0
    if isinstance(on, NotGiven):
        return JobLine(job, loads, job.placed.trouble, None, on.reason)
    return JobLine(job, loads, job.placed.trouble, next(x for x in looks if x.on == on), "")


def _not_of_a_few_panels(job: Job) -> list[Look]:
    """Leave out looks over less than half as many panels as the widest early one. House rule.

    One defect reported early is no look at the job.
    """
    looks = in_order(job.looks)
    early = [x for x in looks if not isinstance(first_look(job.placed_on, [x.on]), NotGiven)]
    widest = max((len(look.by_panel) for look in early), default=0)
    return [look for look in looks if 2 * len(look.by_panel) >= widest]


def _parts(line: JobLine, called: CalledBack) -> Iterable[Part]:
    job, shares = line.job, line.job.placed.shares
    for piece in shares.pieces if shares else ():
        found = job.placed.figures[piece.load]
        panel = job.panels.get(piece.panel)
        edges = job.edges.get(panel.pk, ()) if panel else ()
        outline = called.outlines.get(concrete_of(panel)) if panel else None
        over = shapely.intersection(piece.outline, outline).area if outline is not None else 0.0
        share = line.look.by_panel.get(piece.panel) if line.look else None
        yield Part(
            load=f"{job.key}/{piece.load}",
            job=job.key,
            area_m2=piece.area_m2,
            called_m2=min(float(over), piece.area_m2),
            raveled_m2=None if share is None else share * piece.area_m2,
            graded_by=line.look.word if line.look else "",
            lag_min=found.lag_min,
            drying_kg_m2_h=_kg(found),
            classes=_classes(found, piece, edges),
        )


def _classes(
    found: LoadFigures, piece: Piece, edges: Sequence[Edge]
) -> Mapping[str, tuple[str, ...]]:
    load, day = found.load, found.load.placing_day
    zone = ZoneInfo(day.pavement.site.time_zone)
    at = load.discharge_from_at
    drying = found.drying if isinstance(found.drying, Evaporation) else None
    crew = ", ".join(str(name) for name in day.crew_by_task.get("cover", ()))
    return {
        LAG.code: (lag_class(found.lag_min),),
        EVAPORATION.code: (drying_class(drying),),
        WAIT.code: (wait_class(found.wait_min),),
        HOUR.code: (hour_class(at.astimezone(zone).hour if at else None),),
        CREW.code: (crew or NOT_KNOWN,),
        PLANT.code: (load.plant.strip() or NOT_KNOWN,),
        EDGE.code: tuple(sorted({edge_words(edge) for edge in edges})) or (NO_EDGE,),
    }


def edge_words(edge: Edge) -> str:
    """Return what an edge lies against and whether it was compacted by hand."""
    by_hand = {True: "compacted by hand", False: "not compacted by hand"}
    words = by_hand.get(edge.hand_compacted, "hand compaction not written")  # type: ignore[arg-type]
    return f"{edge.get_against_display()}, {words}"


def _kg(found: LoadFigures) -> float | None:
    if not isinstance(found.drying, Evaporation):
        return None
    return to_si(found.drying.value, Kind.DRYING, found.drying.form)


def _job_loads(line: JobLine) -> JobLoads | None:
    """Return a job as far as loads have a raveled share; None without any."""
    if line.look is None:
        return None
    outcomes = line.look.by_load
    named = [name for name, share in outcomes.items() if not isinstance(share, NotGiven)]
    if not named:
        return None
    loads = [line.job.placed.figures[name].load for name in named]
    mixes = {load.mix.strip() for load in loads}
    units = {System(load.system).value for load in loads}
    return JobLoads(
        line.job.key,
        len(named),
        line.look.word,
        " and ".join(sorted(units)),
        () if "" in mixes else tuple(sorted(mixes)),
    )


def _pattern(lines: Sequence[JobLine], pooled: Pooled) -> Pattern | NotGiven:
    rows: list[LoadRow] = []
    for line in lines:
        if line.look is not None and line.job.key in pooled.jobs:
            found = factor_rows(line.job.placed, line.look.by_load)
            name = f"{line.job.name}: " if len(pooled.jobs) > 1 else ""
            rows += [replace(row, load=f"{name}{row.load}") for row in found]
    if not rows:
        return NotGiven("No job has a first look at raveling that counts.")
    if len(rows) > MOST_LOADS:
        return NotGiven(f"More than {MOST_LOADS} loads together: choose fewer years.")
    return pattern(rows, FACTORS, seed=SEED)
