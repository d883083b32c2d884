"""Everything that happened to a pavement, in order of dates, put into words a page at a time."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from django.db.models import QuerySet

from registry.gathering.timeline_words import (
    KINDS,
    TOLD_ELSEWHERE,
    Event,
    change_events,
    cleaning_event,
    criteria_events,
    folded_event,
    infiltration_event,
    kind_of_change,
    panel_events,
    placed_events,
    seat_events,
    together,
    visit_event,
)
from registry.models import Cleaning, JournalLine, Pavement, Seat, Visit
from registry.models.infiltration_test import InfiltrationTestQuerySet
from registry.models.together import together as rows_together
from registry.units import System

CHANGES = frozenset({"correction", "other"})
FOLDED = 5
"""So many lines of the journal, written at one go, stand as one."""
MOST_FOLDED = 200
UPON = timedelta(minutes=1)
"""Lines of one side so near in time are of one go."""
PLACE_OF_KIND = {kind: place for place, kind in enumerate(KINDS)}


@dataclass(frozen=True)
class Told:
    """What a person may be told of one pavement: rows that access let through.

    as_shown: lines of the journal -> the same as this person may read them.
    """

    pavement: Pavement
    tests: InfiltrationTestQuerySet
    cleanings: QuerySet[Cleaning]
    seats: Iterable[Seat]
    journal: QuerySet[JournalLine]
    as_shown: Callable[[Iterable[JournalLine]], Iterable[JournalLine]]
    visits: QuerySet[Visit]
    with_criteria: bool = True


class Timeline:
    """The events of some kinds in order, for a paginator.

    Of tests and changes, which may be tens of thousands, only day and number are fetched; the
    rows come, and are put into words, for the part that is asked for.
    """

    def __init__(
        self, told: Told, *, kinds: Iterable[str], system: System, is_oldest_first: bool = False
    ) -> None:
        self.told = told
        self.system = system
        self.zone = ZoneInfo(told.pavement.site.time_zone)
        self._events = sorted(
            (event for event in self._all(set(kinds))),
            key=lambda e: (e.on, PLACE_OF_KIND[e.kind], e.row_id, e.what),
            reverse=not is_oldest_first,
        )

    def __len__(self) -> int:
        return len(self._events)

    def __getitem__(self, part: slice) -> list[Event]:
        page = self._events[part]
        words = {(event.kind, event.row_id): event for event in self._written(page)}
        return [words.get((event.kind, event.row_id), event) for event in page]

    def _all(self, kinds: set[str]) -> Iterator[Event]:
        told, system = self.told, self.system
        cleanings, visits, criteria, panels = rows_together(
            told.cleanings if "cleaning" in kinds else told.cleanings.none(),
            told.visits if "visit" in kinds else told.visits.none(),
            told.pavement.criteria.standing(),
            told.pavement.panels.standing(),
        )
        makers: dict[str, Callable[[], Iterable[Event]]] = {
            "placed": lambda: placed_events(told.pavement),
            "test": self._tests,
            "cleaning": lambda: map(cleaning_event(system), cleanings),
            "visit": lambda: map(visit_event, visits),
            "criteria": lambda: criteria_events(criteria, system),
            "panel": lambda: together(panel_events(panels)),
            "seat": lambda: seat_events(told.seats, self.zone),
        }
        for kind, make in makers.items():
            if kind in kinds and (kind != "criteria" or told.with_criteria):
                yield from make()
        if kinds & CHANGES:
            yield from (event for event in self._changes() if event.kind in kinds)

    def _tests(self) -> Iterator[Event]:
        for pk, on in self.told.tests.order_by().values_list("pk", "started_on"):
            yield Event(on, "test", "", row_id=pk)

    def _changes(self) -> Iterator[Event]:
        rows = self.told.journal.order_by("at", "pk").exclude(verb__in=TOLD_ELSEWHERE)
        others: list[_Line] = []
        for pk, at, verb, *by in rows.values_list("pk", "at", "verb", "by", "by_organisation"):
            line = _Line(pk, at, at.astimezone(self.zone).date(), tuple(by))
            if kind_of_change(verb) == "other":
                others.append(line)
            else:
                yield Event(line.on, "correction", "", row_id=pk)
        for go in _at_one_go(others):
            if len(go) < FOLDED:
                yield from (Event(line.on, "other", "", row_id=line.pk) for line in go)
            else:
                keys = tuple(line.pk for line in go)
                yield Event(go[0].on, "other", "", row_id=keys[0], keys=keys)

    def _written(self, page: Sequence[Event]) -> Iterator[Event]:
        tests = [event.row_id for event in page if event.kind == "test"]
        changes = [event for event in page if event.kind in CHANGES]
        if tests:
            yield from map(infiltration_event(self.system), self.told.tests.filter(pk__in=tests))
        if changes:
            yield from self._changes_written(changes)

    def _changes_written(self, changes: Sequence[Event]) -> Iterator[Event]:
        keys = [key for event in changes for key in event.keys or (event.row_id,)]
        rows = {row.pk: row for row in self.told.as_shown(self.told.journal.filter(pk__in=keys))}
        system = System(self.told.pavement.sheet_system)
        told = {event.row_id: event for event in change_events(rows.values(), self.zone, system)}
        for event in changes:
            if event.keys:
                yield folded_event(event, rows, told)
            elif event.row_id in told:
                yield told[event.row_id]


@dataclass(frozen=True)
class _Line:
    """A line of the journal: when, on which day at the site, by which person for whom."""

    pk: int
    at: datetime
    on: date
    by: tuple[int | None, ...]


def _at_one_go(lines: Iterable[_Line]) -> Iterator[list[_Line]]:
    """Yield lines, oldest first, that one side wrote one upon the other, at most a page full."""
    going: list[_Line] = []
    for line in lines:
        last = going[-1] if going else line
        goes_on = (line.on, line.by) == (last.on, last.by) and line.at - last.at <= UPON
        if going and (not goes_on or len(going) == MOST_FOLDED):
            yield going
            going = []
        going.append(line)
    if going:
        yield going
