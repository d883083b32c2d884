"""The list of defects over all pavements: last looks, overdue looks, growth, for page and file."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from django.db.models import F, OuterRef, Q, QuerySet, Subquery

from registry.defects import OPEN, Growth, kind_of
from registry.defects.urgency import VERTICAL_M
from registry.gathering.defect_growth import growth_of, repaired_on
from registry.gathering.defect_looks import EXTENT_OF, days_told, extent_of, last_telling
from registry.gathering.defects import MADE_SAFE, haste_of
from registry.gathering.recurrences import Recurrence
from registry.measuring.months import months_before
from registry.models import Defect, DefectMove, Observation, Visit
from registry.models.defect import DefectQuerySet
from registry.models.observation import ObservationQuerySet
from registry.models.together import together
from registry.models.visit import VisitState
from registry.placing.came_back import CameBack
from registry.units import Kind as Quantity
from registry.units import System, from_si, unit_sign

OVERDUE_MONTHS = 12
LOOKED = (Observation.Found.FOUND, Observation.Found.NOT_FOUND)
OVER_M = VERTICAL_M * (1 + 1e-9)
"""A lip over 1/4 in by more than the last bits of a conversion, as in `defects.limits`."""


@dataclass(frozen=True)
class DefectLine:
    """A line of the list.

    seen   the last look that found it or did not, None where nobody looked
    found  the last look that found it
    sized, graded  the last looks that measured its extent, and that gave it a severity
    days_told  of which days those two are, "" where they are of the last that found it
    grown  the newest growth of the extent, None where two looks have none
    came_back  how it lies against the warranty of a repair it came back after, a line each
    size, unit, size_a_year  extent and growth as numbers to reckon with, in the viewer's unit
    """

    defect: Defect
    seen: Observation | None
    found: Observation | None
    extent: str
    grown: Growth | None
    growth: str
    is_overdue: bool
    is_urgent: bool
    size: float | None = None
    unit: str = ""
    size_a_year: float | None = None
    came_back: tuple[CameBack, ...] = ()
    sized: Observation | None = None
    graded: Observation | None = None
    days_told: str = ""


def overdue_before(today: date) -> date:
    """Return the day since which a defect has to have been looked at."""
    return months_before(today, OVERDUE_MONTHS)


def with_last_found(rows: DefectQuerySet, looks: ObservationQuerySet) -> DefectQuerySet:
    """Add `last_found`, the day of the last look that found a defect."""
    found = looks.standing().filter(defect=OuterRef("pk"), found=Observation.Found.FOUND)
    newest = found.order_by("-seen_on").values("seen_on")[:1]
    return rows.annotate(last_found=Subquery(newest))


def of_severity(
    rows: DefectQuerySet, looks: ObservationQuerySet, asked: Sequence[str]
) -> DefectQuerySet:
    """Keep defects that had one of these severities when last graded; "none": never graded."""
    graded = looks.standing().filter(found=Observation.Found.FOUND).exclude(severity="")
    newest = graded.filter(defect=OuterRef("pk")).order_by("-seen_on", "-pk")
    words = [word for word in asked if word != "none"]
    wanted = Q(last_grade__in=words)
    if "none" in asked:
        wanted |= Q(last_grade=None)
    else:  # so that few newest grades are searched for
        rows = rows.filter(pk__in=Observation.objects.filter(severity__in=words).values("defect"))
    return rows.annotate(last_grade=Subquery(newest.values("severity")[:1])).filter(wanted)


def urgent_ones(rows: DefectQuerySet, looks: ObservationQuerySet) -> DefectQuerySet:
    """Keep open ones with a lip over 1/4 in on an accessible route that nobody made safe yet.

    The lip is that of the last look that found it and measured one, as in `haste_of`.
    """
    high = Observation.objects.filter(lip_m__gt=OVER_M)  # so that few last lips are searched for
    lips = looks.standing().filter(found=Observation.Found.FOUND, lip_m__isnull=False)
    on_route = Q(on_accessible_route="yes")
    on_route |= Q(on_accessible_route="", pavement__accessible_route="yes")
    rows = rows.filter(on_route, state__in=OPEN - MADE_SAFE, pk__in=high.values("defect"))
    newest = lips.filter(defect=OuterRef("pk")).order_by("-seen_on", "-pk").values("lip_m")[:1]
    return rows.annotate(last_lip=Subquery(newest)).filter(last_lip__gt=OVER_M)


def overdue_ones(
    rows: DefectQuerySet, looks: ObservationQuerySet, visits: QuerySet[Visit], today: date
) -> DefectQuerySet:
    """Keep open ones not looked at for 12 months, or that the last closed visit skipped.

    Could not look is no look.
    """
    looked = looks.standing().filter(found__in=LOOKED)
    recent = looked.filter(seen_on__gte=overdue_before(today)).values("defect")
    last = _last_visits(visits)
    skipped = ~Q(pk__in=looked.filter(visit__isnull=False, visit__in=last).values("defect"))
    rows = rows.filter(state__in=OPEN).annotate(last_visited=_visited_on(visits))
    passed_by = skipped & Q(last_visited__gte=F("first_seen_on")) & ~_seen_since(looked)
    return rows.filter(~Q(pk__in=recent) | passed_by)


def _closed(visits: QuerySet[Visit]) -> QuerySet[Visit]:
    done = (VisitState.DONE, VisitState.IN_PART)
    return visits.filter(void_at=None, double_of=None, state__in=done)


def _visited_on(visits: QuerySet[Visit]) -> Subquery:
    there = _closed(visits).filter(pavement=OuterRef("pavement"))
    return Subquery(there.order_by("-done_on", "-pk").values("done_on")[:1])


def _last_visits(visits: QuerySet[Visit]) -> QuerySet:
    """Return the keys of the last closed visit of each pavement."""
    later = _closed(visits).filter(pavement=OuterRef("pavement")).order_by("-done_on", "-pk")
    return _closed(visits).filter(pk=Subquery(later.values("pk")[:1])).values("pk")


def _seen_since(looked: ObservationQuerySet) -> Q:
    """A look after that visit, outside of any, makes up for it."""
    since = looked.filter(defect=OuterRef("pk"), seen_on__gte=OuterRef("last_visited"))
    return Q(pk__in=since.values("defect"))


def rows_of(ids: Sequence[int]) -> list[Defect]:
    """Return rows whose ids access let through, as `lines_of` takes them, in that order."""
    found = Defect.objects.select_related("pavement__site", "panel").in_bulk(ids)
    return [found[pk] for pk in ids if pk in found]


def lines_of(
    rows: Iterable[Defect],
    looks: ObservationQuerySet,
    visits: QuerySet[Visit],
    *,
    system: System,
    today: date,
    came_back: Mapping[int, Sequence[Recurrence]],
) -> list[DefectLine]:
    """Return lines of defects fetched with their pavement and site; always two queries.

    came_back  by id of a defect, what `gathering.recurrences` says of it
    """
    defects = list(rows)
    seen: dict[int, list[Observation]] = defaultdict(list)
    for look in looks.standing().filter(defect__in=defects).order_by("seen_on", "pk"):
        seen[look.defect_id].append(look)
    mended, made = together(
        DefectMove.objects.filter(defect__in=defects, to_state="repaired"),
        _closed(visits).filter(pavement__in={row.pavement_id for row in defects}),
    )
    moves: dict[int, list[DefectMove]] = defaultdict(list)
    for move in mended:
        moves[move.defect_id].append(move)
    made.sort(key=lambda visit: (visit.done_on, visit.pk))
    last: dict[int, Visit] = {visit.pavement_id: visit for visit in made}
    lines = (
        _line(row, seen[row.pk], moves[row.pk], last.get(row.pavement_id), system, today)
        for row in defects
    )
    return [
        replace(line, came_back=tuple(one.came for one in came_back.get(line.defect.pk, ())))
        for line in lines
    ]


def _line(
    row: Defect,
    looks: list[Observation],
    moves: list[DefectMove],
    visit: Visit | None,
    system: System,
    today: date,
) -> DefectLine:
    looked = [look for look in looks if look.found in LOOKED]
    found = [look for look in looked if look.found == Observation.Found.FOUND]
    name = EXTENT_OF[kind_of(row.kind).unit]
    lines = growth_of(row, name, looks, repaired_on(moves))
    urgency = haste_of(row, looks).urgency
    urgent = urgency is not None and bool(urgency.is_urgent) and row.state not in MADE_SAFE
    sized, graded = last_telling(found, name), last_telling(found, "severity")
    days = (one.seen_on if one else None for one in (sized, graded))
    return DefectLine(
        defect=row,
        seen=looked[-1] if looked else None,
        found=found[-1] if found else None,
        sized=sized,
        graded=graded,
        days_told=days_told(found[-1].seen_on, *days) if found else "",
        extent=extent_of(row.kind, sized, system) if sized else "",
        grown=lines[-1] if lines else None,
        growth=_yearly(lines[-1], system) if lines else "",
        is_overdue=row.is_open and _is_overdue(row, looked, visit, today),
        is_urgent=urgent,
        size=_number(row.kind, getattr(sized, name), system, in_m=True) if sized else None,
        unit=_unit(row.kind, system),
        size_a_year=_number(row.kind, lines[-1].per_year, system) if lines else None,
    )


KINDS_OF = {"m2": Quantity.AREA, "m": Quantity.LENGTH, "mm": Quantity.SMALL_LENGTH}
"""Unit of the extent of a kind to what is measured; a count is of none."""


def _number(kind: str, value: float | None, system: System, *, in_m: bool = False) -> float | None:
    """Return a measure of the extent of a kind in the viewer's unit, to six digits.

    in_m: heights are given in metres, as looks hold them, and not in millimetres.
    """
    unit = kind_of(kind).unit
    if value is None:
        return None
    if unit not in KINDS_OF:
        return value
    scaled = value * 1000 if in_m and unit == "mm" else value
    return float(f"{from_si(scaled, KINDS_OF[unit], system):.6g}")


def _unit(kind: str, system: System) -> str:
    unit = kind_of(kind).unit
    return unit_sign(KINDS_OF[unit], system) if unit in KINDS_OF else "count"


def _yearly(line: Growth, system: System) -> str:
    """Return the growth a year, or why none is given."""
    words = line.words(system)
    return words.partition(": ")[2] or words


def _is_overdue(row: Defect, looked: list[Observation], visit: Visit | None, today: date) -> bool:
    if not looked or looked[-1].seen_on < overdue_before(today):
        return True
    if visit is None or visit.done_on < row.first_seen_on:
        return False
    return all(look.visit_id != visit.pk and look.seen_on < visit.done_on for look in looked)


def in_pieces(rows: QuerySet, size: int = 500) -> Iterator[list[Defect]]:
    """Yield rows in pieces of a size, so that a file of any length is made while it is sent."""
    piece: list[Defect] = []
    for row in rows.iterator(chunk_size=size):
        piece.append(row)
        if len(piece) == size:
            yield piece
            piece = []
    if piece:
        yield piece
