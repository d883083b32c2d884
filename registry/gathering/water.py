"""Rows of defects, visits and wells -> what the water of a pavement did on a day (5.4)."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

from django.db.models import QuerySet

from registry.defects import OPEN
from registry.gathering.run_off import Designed, run_off, stood_words
from registry.measuring.condition import USABLE_MONTHS
from registry.measuring.months import months_before
from registry.measuring.water_seen import DrawdownSeen, WellSeen, drawdown_seen, is_ponding
from registry.models import Defect, DefectMove, Visit, WellReading
from registry.units import System

MENDED = frozenset({"repaired", "sound"})
TELLING = ("ponding", "clogged")
"""Kinds of defect after whose change the condition may be another."""
RAINED_WITHIN = timedelta(days=1)
"""A "no" tells something only where it had rained so shortly before the visit."""


@dataclass(frozen=True)
class WaterRows:
    """The rows that tell of the water, as one viewpoint may see them; visits newest first.

    moves   of each defect, by its key, oldest first
    """

    defects: tuple[Defect, ...] = ()
    visits: tuple[Visit, ...] = ()
    readings: tuple[WellReading, ...] = ()
    moves: Mapping[int, Sequence[DefectMove]] = field(default_factory=dict)

    @staticmethod
    def defects_of(rows: QuerySet[Defect]) -> QuerySet[Defect]:
        """Return which of some defects tell of the water: where it stands, where it is kept out."""
        return rows.filter(void_at=None, double_of=None, kind__in=TELLING)

    def open_on(self, day: date, kind: str) -> list[Defect]:
        """Return those of a kind that were open at the end of a day."""
        rows = (row for row in self.defects if row.kind == kind)
        return [row for row in rows if _is_open(row, self.moves.get(row.pk, ()), day)]

    @staticmethod
    def visits_of(rows: QuerySet[Visit]) -> QuerySet[Visit]:
        """Return which of some visits do."""
        return rows.filter(void_at=None, double_of=None, state__in=("done", "in_part"))

    def on(
        self, day: date, limit_h: float | None, *, designed: Designed, system: System
    ) -> "WaterOnDay":
        """Return what they say on a day; nothing older than 24 months counts.

        designed  tells the criteria of a day
        """
        ponding, words, seen_on = self._ponding(day, system)
        hours, drawn, read_on = self._drawdown(day, limit_h)
        left = run_off(self._recent(day), designed, system)
        rests_on = tuple(d for d in (seen_on, read_on, left.seen_on) if d is not None)
        return WaterOnDay(ponding, words, hours, drawn, rests_on, left.small, left.words)

    def _ponding(self, day: date, system: System) -> tuple[bool | None, str, date | None]:
        there = self.open_on(day, "ponding")
        if there:
            row = min(there, key=lambda defect: defect.number)
            return True, f"Water stands: {row}, seen since {row.first_seen_on}, is open.", None
        for visit in self._recent(day):
            said = is_ponding(_ANSWER.get(visit.water_stands), visit.water_minutes)
            if said:
                return True, stood_words(visit, system), visit.done_on
            if said is False and _had_rained(visit):
                return False, "", visit.done_on
        return None, "", None

    def newest_seen(self, day: date) -> Visit | None:
        """Return the newest visit up to a day that saw water stand or run off."""
        seen = (v for v in self._recent(day) if "yes" in (v.water_stands, v.ran_off))
        return next(seen, None)

    def _recent(self, day: date) -> list[Visit]:
        first = months_before(day, USABLE_MONTHS)
        return [visit for visit in self.visits if first <= visit.done_on <= day]

    def _drawdown(self, day: date, limit_h: float | None) -> tuple[float | None, str, date | None]:
        """The newest rain whose readings say on which side of the limit it lies decides."""
        rains = self._rains(day)
        if limit_h is None:
            return None, "", None
        for ended_at in sorted(rains, reverse=True):
            seen = drawdown_seen(rains[ended_at])
            decided = _beside(seen, limit_h, ended_at.date())
            if decided is not None:
                return (*decided, ended_at.date())
        return None, "", None

    def _rains(self, day: date) -> dict[datetime, list[WellSeen]]:
        ended = {visit.pk: visit.rain_ended_at for visit in self._recent(day)}
        rains: dict[datetime, list[WellSeen]] = defaultdict(list)
        for row in self.readings:
            rain = ended.get(row.visit_id or 0)
            if rain is not None and row.read_at is not None and row.read_on <= day:
                hours = (row.read_at - rain).total_seconds() / 3600
                rains[rain].append(WellSeen(row.well.name, hours, row.is_dry))
        return rains


@dataclass(frozen=True)
class WaterOnDay:
    """What the condition takes: ponding, hours of drawdown, water that left, each with its words;
    days they rest on.
    """

    ponding: bool | None = None
    ponding_words: str = ""
    drawdown_h: float | None = None
    drawdown_words: str = ""
    rests_on: tuple[date, ...] = ()
    left_in_small_storm: bool | None = None
    left_words: str = ""


_ANSWER = {"yes": True, "no": False}


def _is_open(row: Defect, moves: Sequence[DefectMove], day: date) -> bool:
    """Say whether a defect was open at the end of a day."""
    if row.first_seen_on > day:
        return False
    states = [move.to_state for move in moves if move.on <= day]
    return (states[-1] if states else row.state) in OPEN - MENDED


def _had_rained(visit: Visit) -> bool:
    if visit.surface in ("wet", "damp"):
        return True
    ended, began = visit.rain_ended_at, visit.started_at or visit.ended_at
    if ended is None:
        return False
    if began is not None:
        return began - ended <= RAINED_WITHIN
    return (visit.done_on - ended.date()).days <= RAINED_WITHIN.days


def _beside(seen: DrawdownSeen, limit_h: float, rained_on: date) -> tuple[float, str] | None:
    """Hours and words where readings say on which side of the limit the drawdown lies."""
    longer, most = seen.longer_than_h, seen.at_most_h
    if longer is not None and longer > limit_h:
        words = (
            f"Water stood in well {seen.well} {longer:.0f} h after the rain of {rained_on}; "
            f"the limit is {limit_h:g} h."
        )
        return longer, words
    if most is not None and most <= limit_h:
        return most, ""
    return None


def water_rows(
    defects: QuerySet[Defect], visits: QuerySet[Visit], readings: Iterable[WellReading]
) -> WaterRows:
    """Fetch what tells of the water from rows that a viewpoint may see: three queries, or four."""
    there = list(WaterRows.defects_of(defects).prefetch_related("observations"))
    moves = DefectMove.objects.filter(defect__in=[row.pk for row in there])
    return in_order(there, moves, WaterRows.visits_of(visits), readings)


def in_order(
    defects: Iterable[Defect],
    moves: Iterable[DefectMove],
    visits: Iterable[Visit],
    readings: Iterable[WellReading],
) -> WaterRows:
    """Return rows that were fetched, each kind in the order in which it is read."""
    of: dict[int, list[DefectMove]] = defaultdict(list)
    for move in sorted(moves, key=lambda move: (move.at, move.pk)):
        of[move.defect_id].append(move)
    newest = sorted(visits, key=lambda visit: (visit.done_on, visit.pk), reverse=True)
    return WaterRows(tuple(defects), tuple(newest), tuple(readings), of)
