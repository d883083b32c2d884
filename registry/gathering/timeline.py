"""Everything that happened to a pavement, in order of dates, put into words a page at a time."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from django.db.models import QuerySet

from registry.gathering.timeline_words import (
    KINDS,
    TOLD_ELSEWHERE,
    Event,
    change_events,
    cleaning_event,
    criteria_events,
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
        rows = self.told.journal.order_by().exclude(verb__in=TOLD_ELSEWHERE)
        for pk, at, verb in rows.values_list("pk", "at", "verb"):
            on = at.astimezone(self.zone).date()
            yield Event(on, kind_of_change(verb), "", row_id=pk)

    def _written(self, page: Iterable[Event]) -> Iterator[Event]:
        tests = [event.row_id for event in page if event.kind == "test"]
        lines = [event.row_id for event in page if event.kind in CHANGES]
        if tests:
            yield from map(infiltration_event(self.system), self.told.tests.filter(pk__in=tests))
        if lines:
            rows = self.told.as_shown(self.told.journal.filter(pk__in=lines))
            yield from change_events(rows, self.zone, System(self.told.pavement.sheet_system))
