"""Defects known on a day, as a visit and its sheet ask for them, with what was last seen."""

from dataclasses import dataclass
from datetime import date
from typing import cast

from django.db.models import Prefetch, Q

from registry.defects import KINDS, OPEN
from registry.models import Defect, DefectMove, Observation, Visit
from registry.models.defect import DefectQuerySet
from registry.models.observation import ObservationQuerySet
from registry.units import Kind, System, from_si, show

EXTENTS: dict[str, tuple[str, Kind | None]] = {
    "m2": ("area_m2", Kind.AREA),
    "m": ("length_m", Kind.LENGTH),
    "mm": ("lip_m", Kind.SMALL_LENGTH),
    "count": ("count", None),
}
"""Unit of a kind of defect to the column of its extent, and what is measured there."""

HEIGHTS = ("lip_m", "crack_width_m", "width_m", "depth_m")
"""Small measures told beside the extent, and what they are called."""
_HEIGHT_WORDS = dict(zip(HEIGHTS, ("lip", "wide", "wide", "deep"), strict=True))


@dataclass(frozen=True)
class Seen:
    """What a person's side is shown of a pavement's defects: rows that access let through."""

    defects: DefectQuerySet
    looks: ObservationQuerySet


@dataclass(frozen=True)
class Known:
    """A defect known on a day: its last look before the visit, and the visit's answer if any.

    measured  the last look before it that found the defect and tells a size or a severity; the
              last look where none does
    """

    defect: Defect
    last: Observation | None
    answer: Observation | None = None
    measured: Observation | None = None


def known_on(seen: Seen, day: date, *, visit: Visit | None = None) -> list[Known]:
    """Return the defects that were open on a day by their numbers, whatever became of them since.

    A defect noted by the visit itself is new, not known. Always as many queries.
    """
    moves = Prefetch("moves", queryset=DefectMove.objects.order_by("at", "pk"))
    looks = seen.looks.standing().filter(seen_on__lte=day).in_order()
    rows = seen.defects.known_on(day).select_related("panel", "pavement").order_by("number")
    rows = rows.prefetch_related(moves, Prefetch("observations", queryset=looks, to_attr="looks"))
    found = [_known(row, visit) for row in rows if state_on(row, day) in OPEN]
    return [known for known in found if not _is_new(known, day, visit)]


def state_on(defect: Defect, day: date) -> str:
    """Return the state a defect was in when a day began. Its moves are fetched with it."""
    moves = list(defect.moves.all())
    before = [move for move in moves if move.on < day]
    if before:
        return before[-1].to_state
    if moves:
        return moves[0].from_state or moves[0].to_state
    return str(defect.state)


def _known(defect: Defect, visit: Visit | None) -> Known:
    looks = cast(list[Observation], defect.looks)  # type: ignore[attr-defined]
    own = visit.pk if visit is not None else 0
    others = [look for look in looks if look.visit_id != own]
    answers = [look for look in looks if own and look.visit_id == own]
    last = others[-1] if others else None
    telling = [look for look in others if _tells(look)]
    measured = telling[-1] if telling else last
    return Known(defect, last, answers[-1] if answers else None, measured)


def _tells(look: Observation) -> bool:
    """Say whether a look found it and tells a size or a severity."""
    sizes = {*HEIGHTS, *(column for column, _ in EXTENTS.values())}
    told = look.severity or any(getattr(look, name) is not None for name in sizes)
    return look.found == Observation.Found.FOUND and bool(told)


def _is_new(known: Known, day: date, visit: Visit | None) -> bool:
    """Noted by this very visit: it has a look of the visit, and none before."""
    first = known.defect.first_seen_on == day
    return visit is not None and first and known.last is None and known.answer is not None


def found_new(visit: Visit) -> DefectQuerySet:
    """Return the defects that a visit noted: their first look is one of its looks."""
    mine = Q(observations__visit=visit, observations__void_at__isnull=True)
    rows = Defect.objects.standing().filter(mine, first_seen_on=visit.done_on).distinct()
    earlier = Observation.objects.standing().filter(defect__in=rows).exclude(visit=visit)
    known = earlier.filter(seen_on__lte=visit.done_on).values("defect")
    return rows.exclude(pk__in=known).select_related("pavement")


def extent_words(kind: str, look: Observation, system: System, *, heights: int = 4) -> str:
    """Return the extent of a look in the unit of its kind, "7 ft²", and lip, width and depth.

    heights: how many of those at most, the lip first, where room is short.
    """
    column, measure = EXTENTS[KINDS[kind].unit]
    extent = measure_words(getattr(look, column), measure, system, small=column == "lip_m")
    told = [
        _height(name, getattr(look, name), system)
        for name in HEIGHTS
        if name != column and getattr(look, name) is not None
    ]
    return ", ".join(filter(None, (extent, *told[:heights])))


def _height(name: str, value_m: float, system: System) -> str:
    # Widths of cracks are read from a card in mm, in either system.
    shown_in = System.SI if name == "crack_width_m" else system
    size = show(value_m * 1000, Kind.SMALL_LENGTH, shown_in)
    word = _HEIGHT_WORDS[name]
    return f"{word} {size}" if name == "lip_m" else f"{size} {word}"


def measure_words(
    value: float | None, measure: Kind | None, system: System, *, small: bool = False
) -> str:
    """Show a measure in m, m2 or a count; `small` says that it is shown in in or mm."""
    if value is None:
        return ""
    if measure is None:
        return f"{value:g}"
    if measure is Kind.AREA:
        return show(value, measure, system, digits=_area_digits(from_si(value, measure, system)))
    return show(value * 1000 if small else value, measure, system)


def _area_digits(value: float) -> int:
    """A spot of a third of a square foot is not 0 ft²: so many decimals as two digits take."""
    if value >= 10:
        return 0
    return 1 if value >= 1 else 2
