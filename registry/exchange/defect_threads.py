"""Rows of the file of defects -> what is to be stored of each defect, step by step.

Rows of one pavement, kind and place are looks at one defect; of one number in the note, where the
note gives one. What lies near another is a doubt, for a person decides. At a place where a defect
was repaired or closed, a row that notes one begins a new defect, which recurs.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from registry.defects import OPEN, STATES, Sighted, next_states, offers
from registry.defects.passing import reaches
from registry.exchange.columns import DEFECTS
from registry.exchange.defect_compared import differences, tells_only_state
from registry.exchange.defect_known import KnownDefect
from registry.exchange.defect_places import CellPlace
from registry.exchange.defect_rows import DefectRow
from registry.exchange.problems import Problem
from registry.exchange.records import Records
from registry.gathering.defect_place import DefectPlace

MENDED = frozenset({"repaired", "sound", "closed"})
NEW = frozenset({"noted", "confirmed"})
NOT_FOUND = frozenset({"not_found_once", "not_found_closed"})
MEND = "Correct it in the record, or in the file; a spreadsheet corrects nothing by itself."


Where = tuple[str, str, str]
"""Ref of the pavement, kind, and place or panel."""


@dataclass(frozen=True)
class Step:
    """What one row adds to a defect. `found` "" is a move alone, `to_state` "" a look alone.

    is_passing  the steps between the states are not in the file
    """

    row: DefectRow
    found: str
    to_state: str = ""
    is_back: bool = False
    is_passing: bool = False


@dataclass
class Thread:
    """One defect: known to the record or new, and what is to be stored of it, oldest first.

    recurs  the defect at whose place it came back
    spot    where a new one lies on the plan, where there is a plan
    """

    ref: str
    kind: str
    place: CellPlace
    number: str
    known: KnownDefect | None = None
    recurs: "Thread | KnownDefect | None" = None
    steps: list[Step] = field(default_factory=list)
    state: str = ""
    history: list[str] = field(default_factory=list)
    begun_on: date = date.min
    last_on: date = date.min
    first_row: int = 0
    spot: DefectPlace | None = None

    @property
    def words(self) -> str:
        """Return what a doubt calls it."""
        if self.known is not None:
            return f"defect {self.known.defect.number} of the record"
        return f"the one of row {self.first_row}"


@dataclass
class Weaver:
    """Makes threads out of rows; `known` holds the record's defects by ref."""

    records: Records
    known: Mapping[str, Sequence[KnownDefect]]
    held: int = 0
    """Rows that the record holds already."""
    threads: list[Thread] = field(default_factory=list)
    _at: dict[Where, list[Thread]] = field(default_factory=lambda: defaultdict(list))
    _in_panel: dict[Where, list[Thread]] = field(default_factory=lambda: defaultdict(list))
    _of_record: dict[int, Thread] = field(default_factory=dict)
    _stored_at: dict[Where, list[KnownDefect]] = field(default_factory=lambda: defaultdict(list))
    _stored_in: dict[Where, list[KnownDefect]] = field(default_factory=lambda: defaultdict(list))

    def __post_init__(self) -> None:
        for ref, defects in self.known.items():
            for known in defects:
                kind, place = known.defect.kind, known.place
                self._stored_in[ref, kind, place.panel].append(known)
                if place.text:
                    self._stored_at[ref, kind, place.key].append(known)

    def weave(self, rows: Iterable[DefectRow]) -> list[Thread]:
        """Return the threads that have something to store; doubts and faults are noted."""
        for group in _groups(rows):
            thread = self._begin(group[0])
            for row in group:
                thread = self._add(thread, row)
        for thread in self.threads:
            self._doubt_near(thread)
        return [thread for thread in self.threads if thread.steps]

    def fault(self, row: DefectRow, column: str, message: str, mend: str) -> None:
        """Note what keeps the spreadsheet out."""
        file = self.records.file(DEFECTS)
        self.records.faults.add(Problem(file, row.row, column, message, mend))

    def doubt(self, row: DefectRow, column: str, message: str, mend: str) -> None:
        """Note what is asked."""
        file = self.records.file(DEFECTS)
        self.records.doubts.add(Problem(file, row.row, column, message, mend))

    def _begin(self, row: DefectRow) -> Thread:
        known = self._known_of(row)
        if known is None:
            return self._new(row)
        if known.defect.pk not in self._of_record:
            self._of_record[known.defect.pk] = self._thread(_of_record(row, known))
        return self._of_record[known.defect.pk]

    def _known_of(self, row: DefectRow) -> KnownDefect | None:
        if row.marks.number:
            alike = [k for k in self.known.get(row.ref, ()) if k.defect.kind == row.kind]
            numbered = [k for k in alike if k.label == row.marks.number]
            return min(numbered, key=lambda k: not k.defect.other_number, default=None)
        there = self._stored_at.get((row.ref, row.kind, row.place.key), [])
        still = [k for k in there if k.defect.state in OPEN - MENDED] or there[-1:]
        if len(still) > 1:
            numbers = " and ".join(k.label for k in still)
            message = f"The record has several such defects at this place: {numbers}."
            mend = f"Say in the note which it is: No. {still[0].label}."
            self.fault(row, "panel, right, up", message, mend)
        return still[0] if still else None

    def _new(self, row: DefectRow, after: Thread | None = None) -> Thread:
        recurs = after or self._mended_there(row)
        number = "" if after is not None else row.marks.number
        thread = Thread(row.ref, row.kind, row.place, number, recurs=recurs, first_row=row.row)
        return self._thread(thread)

    def _thread(self, thread: Thread) -> Thread:
        self.threads.append(thread)
        self._at[thread.ref, thread.kind, thread.place.key].append(thread)
        self._in_panel[thread.ref, thread.kind, thread.place.panel].append(thread)
        return thread

    def _mended_there(self, row: DefectRow) -> "Thread | KnownDefect | None":
        """Return the last defect of this kind and place that was repaired or closed by then."""
        if not row.place.text:
            return None
        where = (row.ref, row.kind, row.place.key)
        for thread in reversed(self._at[where]):
            if thread.state in MENDED and thread.last_on <= row.seen_on:
                return thread
        for known in reversed(self._stored_at.get(where, [])):
            if known.defect.state in MENDED and known.last_on <= row.seen_on:
                return known
        return None

    def _add(self, thread: Thread, row: DefectRow) -> Thread:
        if thread.known is not None and self._is_held(thread.known, row):
            return thread
        if thread.state in MENDED and row.state in NEW:
            self.doubt(
                row,
                "state",
                f"At this place {thread.words} was {STATES[thread.state]}: this one is stored as "
                "a new defect that recurs there.",
                "If it is the same one, write its state as it was.",
            )
            thread = self._new(row, thread)
        if not thread.state:
            self._add_first(thread, row)
        elif row.seen_on < thread.last_on:
            self._add_late(thread, row)
        else:
            self._add_later(thread, row)
        return thread

    def _is_held(self, known: KnownDefect, row: DefectRow) -> bool:
        """Say whether the record has the row already; where it says another thing, a fault."""
        if tells_only_state(known, row):
            self.held += 1
            return True
        there = list(known.looks_on(row.seen_on))
        if not there:
            return False
        found = min((list(differences(look, row, known)) for look in there), key=len)
        for column, in_file, in_record in found:
            message = f"The record has {in_record} here, the file {in_file}."
            self.fault(row, column, message, MEND)
        self.held += not found
        return True

    def _add_first(self, thread: Thread, row: DefectRow) -> None:
        if row.state in NOT_FOUND:
            self.fault(
                row,
                "state",
                "Of this defect there is no earlier row, so nobody has found it yet.",
                "Add the row of the day on which it was first seen.",
            )
        thread.state = row.state or "noted"
        thread.history.append(thread.state)
        thread.begun_on = thread.last_on = row.seen_on
        thread.steps.append(Step(row, "found"))

    def _add_late(self, thread: Thread, row: DefectRow) -> None:
        """A look of an earlier day than what the record has: it moves nothing."""
        known = thread.known
        if row.seen_on < thread.begun_on:
            message = f"This defect was first seen on {thread.begun_on}."
            self.fault(row, "seen_on", message, "Correct that day in the record first.")
        elif known is not None and row.state and row.state not in known.states_of(row.seen_on):
            was = " or ".join(sorted(STATES[s] for s in known.states_of(row.seen_on)))
            message = f"On that day the record has it as {was}."
            self.fault(row, "state", message, MEND)
        else:
            found = "not_found" if row.state in NOT_FOUND else "found"
            thread.steps.append(Step(row, found))

    def _add_later(self, thread: Thread, row: DefectRow) -> None:
        goal = row.state or thread.state
        if goal in NOT_FOUND and row.is_measured:
            message = f"It was {STATES[goal]}, and still it was measured."
            self.fault(row, "state", message, "Leave the measures out, or write its state.")
            return
        self._doubt_twice(thread, row)
        is_found_again = thread.state in NOT_FOUND and goal in OPEN - NOT_FOUND
        is_look = row.is_measured or goal == thread.state or goal in NOT_FOUND or is_found_again
        found = ("not_found" if goal in NOT_FOUND else "found") if is_look else ""
        step = self._move(thread, row, goal, found)
        thread.steps.append(step)
        thread.last_on = row.seen_on

    def _move(self, thread: Thread, row: DefectRow, goal: str, found: str) -> Step:
        state = thread.state
        if goal == state:
            return Step(row, found)
        thread.state = goal
        thread.history.append(goal)
        if goal in next_states(state):
            return Step(row, found, goal)
        if goal in thread.history[:-1]:
            return Step(row, found, goal, is_back=True)
        if not reaches(state, goal):
            after = ", ".join(STATES[s] for s in next_states(state)) or "nothing"
            message = f"A defect that is {STATES[state]} never becomes {STATES[goal]}."
            self.fault(row, "state", message, f"After it comes: {after}.")
        else:
            self.doubt(
                row,
                "state",
                f"From {STATES[state]} it came to {STATES[goal]} by steps that are not in the "
                "file: the move is stored as one.",
                "Add a row for the day of each step, if they are known.",
            )
        return Step(row, found, goal, is_passing=True)

    def _doubt_twice(self, thread: Thread, row: DefectRow) -> None:
        same = [s.row for s in thread.steps if s.row.seen_on == row.seen_on and s.found]
        if not (same and row.is_measured):
            return
        first = same[0]
        if _told(first) == _told(row):
            what = "It has the same pavement, kind, day, place and measures as row"
            self.fault(row, "", f"{what} {first.row}.", "Delete the row that is there twice.")
        else:
            self.doubt(
                row,
                "seen_on",
                f"Row {first.row} is a look at the same defect on the same day.",
                "If these are two defects, number them in the note: No. 1.",
            )

    def _doubt_near(self, thread: Thread) -> None:
        """Ask where a new defect lies so near another of its kind that the two may be one."""
        if thread.known is not None or thread.recurs is not None or not thread.steps:
            return
        where = (thread.ref, thread.kind, thread.place.panel)
        near = [
            (t.place, t.words, t.state)
            for t in self._in_panel[where]
            if t.known is None and t.first_row < thread.first_row
        ]
        near += [
            (k.place, f"defect {k.defect.number} of the record", k.defect.state)
            for k in self._stored_in.get(where, [])
        ]
        new = _sighted(thread.kind, thread.place, 0)
        known = [
            _sighted(thread.kind, place, number, state)
            for number, (place, _, state) in enumerate(near)
            if place.key != thread.place.key
        ]
        row = thread.steps[0].row
        for offer in offers(new, known)[:1]:
            self.doubt(
                row,
                "panel, right, up",
                f"It may be the same as {near[int(offer.ref)][1]}: a person decides.",
                "Write the place of that one, if it is; or link the two on their pages.",
            )


def _told(row: DefectRow) -> tuple[dict[str, float], str, str]:
    return row.measures, row.severity, row.marks.direction


def _of_record(row: DefectRow, known: KnownDefect) -> Thread:
    return Thread(
        row.ref,
        row.kind,
        known.place,
        known.label,
        known=known,
        state=known.defect.state,
        history=[*known.history, known.defect.state],
        begun_on=known.defect.first_seen_on,
        last_on=known.last_on,
        first_row=row.row,
    )


def _sighted(kind: str, place: CellPlace, ref: int, state: str = "") -> Sighted:
    """A place in a panel, from its home corner: two in one panel are in the same concrete."""
    return Sighted(
        ref=ref,
        kind=kind,
        concrete_placed_on=None,
        concrete=place.panel or None,
        outline=place.outline,
        how="panel",
        is_area=len(place.outline) > 2,
        state=state,
    )


def _groups(rows: Iterable[DefectRow]) -> Iterable[list[DefectRow]]:
    """Return the rows of each defect by day, those of the earliest first day first."""
    groups: dict[tuple[str, str, str], list[DefectRow]] = defaultdict(list)
    for row in rows:
        own = row.place.key or f"row {row.row}"
        who = f"No. {row.marks.number}" if row.marks.number else own
        groups[row.ref, row.kind, who].append(row)
    for group in groups.values():
        group.sort(key=lambda row: (row.seen_on, row.row))
    return sorted(groups.values(), key=lambda group: (group[0].seen_on, group[0].row))
