"""How long strips stayed covered (N14), from the rows of covers, breaks and uncovers."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django.db.models import QuerySet

from registry.faults import DomainError
from registry.instants import elapsed_seconds
from registry.models import Cover, CoverBreak, CoverWalk, PlacingDay, Uncover
from registry.placing.covered import (
    FIRST_HOURS,
    Break,
    Covered,
    days_without_a_walk,
    hours_covered,
)
from registry.placing.faults import NotGiven
from registry.placing.moves import COVER


@dataclass(frozen=True)
class PartFigures:
    """Panels of a strip that lay bare at the same times, with their hours under cover.

    `short_s` is what is missing against the hours the day requires; None where not decided.
    """

    panels: tuple[str, ...]
    hours: Covered | NotGiven
    short_s: float | None
    breaks: tuple[CoverBreak, ...]


@dataclass(frozen=True)
class StripFigures:
    """One strip in parts, the panels without a break first; no names where none are drawn.

    state          as the rules of a cover name it (`placing.moves.COVER`), by what is written down
    unwalked_hours of the first hours under cover, counted from 1, those without a walk
    early_breaks   keys of breaks within six hours of covering
    """

    cover: Cover
    uncovered_at: datetime | None
    parts: tuple[PartFigures, ...]
    missing_days: tuple[str, ...]
    state: str
    unwalked_hours: tuple[int, ...]
    early_breaks: tuple[int, ...]


def strips_of(
    day: PlacingDay,
    covers: Sequence[Cover],
    breaks: Sequence[CoverBreak],
    walks: Sequence[CoverWalk],
    uncovers: Sequence[Uncover],
) -> list[StripFigures]:
    """Return each strip: from its last foot covered to the first uncover of one of its panels."""
    zone = ZoneInfo(day.pavement.site.time_zone)
    return [_strip(day, one, breaks, walks, uncovers, zone) for one in covers if not one.is_void]


def _strip(
    day: PlacingDay,
    cover: Cover,
    breaks: Sequence[CoverBreak],
    walks: Sequence[CoverWalk],
    uncovers: Sequence[Uncover],
    zone: ZoneInfo,
) -> StripFigures:
    own = [row for row in uncovers if not row.is_void and meets(cover.panels, row.panels)]
    first = min((row.at for row in own), default=None)
    broken = [row for row in breaks if not row.is_void and meets(cover.panels, row.panels)]
    begin = cover.last_at.astimezone(zone) if cover.last_at else None
    end = first.astimezone(zone) if first else None
    parts = tuple(
        _part(day, names, own_breaks, (begin, end), zone)
        for names, own_breaks in _parted(cover.panels, broken)
    )
    standing = (row for row in walks if not row.is_void)
    seen = [row.at for row in standing if meets(cover.panels, row.panels)]
    missing: tuple[str, ...] = ()
    if begin and end and begin < end:
        missing = days_without_a_walk(begin, end, seen)
    return StripFigures(
        cover,
        first,
        parts,
        missing,
        state=COVER.label(_state(cover, first, parts)),
        unwalked_hours=_unwalked(begin, end, seen),
        early_breaks=_early(cover, broken),
    )


def _state(cover: Cover, uncovered_at: datetime | None, parts: Sequence[PartFigures]) -> str:
    """Return where the moves that are written down have led a strip."""
    if cover.first_at is None and cover.last_at is None:
        return "bare"
    if uncovered_at is not None:
        return "short" if any(part.short_s for part in parts) else "uncovered"
    breaks = [row for part in parts for row in part.breaks]
    if any(row.to_at is None for row in breaks):
        return "broken"
    return "covered_again" if breaks else "covered"


def _unwalked(
    begin: datetime | None, end: datetime | None, seen: Sequence[datetime]
) -> tuple[int, ...]:
    """Return which of the first six hours had no walk: hourly is usual (common practice)."""
    if begin is None:
        return ()
    last = max([*seen, *([end] if end else [])], default=begin)
    walked = {int(elapsed_seconds(begin, at) // 3600) for at in seen if at >= begin}
    over = int(min(elapsed_seconds(begin, last) / 3600, FIRST_HOURS))
    return tuple(hour + 1 for hour in range(over) if hour not in walked)


def _early(cover: Cover, breaks: Sequence[CoverBreak]) -> tuple[int, ...]:
    """Return the keys of breaks within six hours of covering, the most easily harmed."""
    begin = cover.last_at or cover.first_at
    if begin is None:
        return ()
    most = FIRST_HOURS * 3600
    return tuple(row.pk for row in breaks if elapsed_seconds(begin, row.from_at) < most)


Span = tuple[datetime | None, datetime | None]


def _part(
    day: PlacingDay,
    names: Sequence[str],
    broken: Sequence[CoverBreak],
    span: Span,
    zone: ZoneInfo,
) -> PartFigures:
    hours = _hours(span[0], span[1], broken, zone)
    short = None
    if isinstance(hours, Covered) and day.covered_hours_required is not None:
        short = hours.short_by_s(day.covered_hours_required)
    return PartFigures(tuple(names), hours, short, tuple(broken))


def _parted(
    panels: Sequence[str], breaks: Sequence[CoverBreak]
) -> list[tuple[list[str], list[CoverBreak]]]:
    """Return the panels by the breaks that reached them; a break that names none reached all."""
    if not panels:
        return [([], list(breaks))]
    groups: dict[tuple[int, ...], list[str]] = {}
    for name in panels:
        reached = tuple(row.pk for row in breaks if not row.panels or name in row.panels)
        groups.setdefault(reached, []).append(name)
    return [
        (names, [row for row in breaks if row.pk in reached])
        for reached, names in sorted(groups.items(), key=lambda group: len(group[0]))
    ]


def _hours(
    begin: datetime | None, end: datetime | None, broken: Sequence[CoverBreak], zone: ZoneInfo
) -> Covered | NotGiven:
    try:
        spans = [
            Break(
                row.from_at.astimezone(zone),
                row.to_at.astimezone(zone) if row.to_at else None,
                row.panels_text or ", ".join(row.panels),
                str(row.get_cause_display() or "cause not written"),
            )
            for row in broken
        ]
        return hours_covered(begin, end, spans)
    except DomainError as fault:
        return NotGiven(fault.message)


def meets(one: Sequence[str], other: Sequence[str]) -> bool:
    """Say whether two lists of panels meet; no names on either side means all of them."""
    return not one or not other or bool(set(one) & set(other))


@dataclass(frozen=True)
class Cure:
    """What is written down of the covers of some days."""

    covers: tuple[Cover, ...]
    breaks: tuple[CoverBreak, ...]
    walks: tuple[CoverWalk, ...]
    strips: tuple[StripFigures, ...]

    @property
    def loose_breaks(self) -> tuple[CoverBreak, ...]:
        """Breaks on panels that no cover names: they stand at no strip."""
        return tuple(
            row
            for row in self.breaks
            if not any(meets(cover.panels, row.panels) for cover in self.covers)
        )

    @property
    def missing_days(self) -> tuple[str, ...]:
        """Return the days on which nobody looked at a cover, oldest first."""
        return tuple(sorted({day for strip in self.strips for day in strip.missing_days}))


def cover_rows(days: Sequence[PlacingDay]) -> list[QuerySet]:
    """Return the questions whose rows `cure_of` takes: covers, breaks, walks, uncovers."""
    given = {"placing_day__in": [day.pk for day in days]}
    tables = (Cover, CoverBreak, CoverWalk, Uncover)
    return [table.objects.standing().filter(**given) for table in tables]


def cure_of(days: Sequence[PlacingDay], found: Sequence[Sequence[Any]]) -> Cure:
    """Return the covers of days with their figures, from the rows of `cover_rows`."""
    strips: list[StripFigures] = []
    for day in days:
        own = [[row for row in rows if row.placing_day_id == day.pk] for rows in found]
        strips += strips_of(day, *own)
    covers, breaks, walks, _ = found
    return Cure(tuple(covers), tuple(breaks), tuple(walks), tuple(strips))
