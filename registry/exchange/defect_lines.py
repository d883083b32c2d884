"""Defects of the record -> lines of the file of defects: a line for each look and each move.

A look that found it carries what was measured that day and the state in which the day ended; a
move of another day has a line of its own, without measures. Not in this file: looks that could not
be made or missed it in bad light, measures without a column, links but `recurs` at one place.
"""

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import chain, count

from registry.defects import Measured, grade, kind_of
from registry.exchange.defect_known import KnownDefect
from registry.exchange.defect_notes import Marks, write_note
from registry.exchange.defect_places import cells_of
from registry.exchange.defect_rows import MM_PER_M, QUANTITIES, UNITS, has_direction, width_of
from registry.exchange.lines_out import Cell, Line, Number, number
from registry.faults import DomainError
from registry.gathering.defect_looks import EXTENT_OF
from registry.models import DefectMove, Observation
from registry.units import Kind, System, from_si, read_quantity

FROM_FILE = re.compile(r"spreadsheet no\. \d+, row \d+(?:: (?P<rest>.*))?", re.DOTALL)
_WORD_OF = {(unit, system): word for word, (unit, system) in UNITS.items()}


def from_file(batch_id: int, row: int, rest: str = "") -> str:
    """Return the reason of a move that a row of a spreadsheet made."""
    return f"spreadsheet no. {batch_id}, row {row}" + (f": {rest}" if rest else "")


def defect_lines(ref: str, defects: Sequence[KnownDefect]) -> Iterator[Line]:
    """Yield the lines of a pavement's defects, by kind, place and day; twice the same is one."""
    labels = _labels(defects)
    told: set[tuple[str, ...]] = set()
    for known in sorted(defects, key=lambda known: _order(known, labels)):
        for line in _lines(ref, known, labels.get(known.defect.pk, "")):
            cells = tuple(f"{column} {cell}" for column, cell in line.items() if cell != "")
            if cells not in told:
                told.add(cells)
                yield line


def _labels(defects: Sequence[KnownDefect]) -> dict[int, str]:
    """Return numbers, by key, of defects that kind and place alone do not tell apart."""
    shared = Counter(_where(known) for known in defects)
    found: dict[int, str] = {}
    used: set[tuple[str, str]] = set()
    for known in sorted(defects, key=lambda k: (not k.defect.other_number, k.defect.number)):
        if shared[_where(known)] == 1 and known.place.text:
            continue
        own, kind = known.defect.number, known.defect.kind
        choices = chain((known.label, str(own)), (f"{own}-{n}" for n in count(2)))
        label = next(choice for choice in choices if (kind, choice) not in used)
        found[known.defect.pk] = label
        used.add((kind, label))
    return found


def _order(known: KnownDefect, labels: dict[int, str]) -> tuple[str, str, date, int, str]:
    row = known.defect
    label = labels.get(row.pk, "")
    return row.kind, known.place.key, row.first_seen_on, len(label), label


def _where(known: KnownDefect) -> tuple[str, str]:
    return known.defect.kind, known.place.key


@dataclass(frozen=True)
class _Event:
    """A day of a defect: a look, a move, or both. `state` is that after it."""

    on: date
    look: Observation | None
    state: str
    why: str = ""


def _lines(ref: str, known: KnownDefect, label: str) -> Iterator[Line]:
    for event in _events(known):
        look = event.look if event.look and event.look.found == Observation.Found.FOUND else None
        unit, said, extent = _extent(known, look)
        method = look.method if look else ""
        note = event.look.note if event.look else event.why
        rest, way = note.replace("\r\n", "\n"), _direction(known.defect.kind, look)
        marks = Marks(label, method, known.defect.is_provisional, rest, way)
        yield {
            "pavement_ref": ref,
            "kind": known.defect.kind,
            "seen_on": event.on.isoformat(),
            **cells_of(known.place, said),
            "severity": _severity(known.defect.kind, look),
            "extent": extent,
            "unit": unit,
            "width_mm": _millimetres(look, width_of(known.defect.kind)),
            "lip_mm": _millimetres(look, "lip_m"),
            "state": event.state,
            "note": write_note(marks),
        }


def _events(known: KnownDefect) -> list[_Event]:
    """Return the days in order; moves of the day of a measured look stand in its line."""
    moves = _dated(known)
    state = moves[0][1].to_state if moves else known.defect.state
    rest = moves[1:]
    events: list[_Event] = []
    if not any(look.seen_on == known.defect.first_seen_on for look in _told(known)):
        events.append(_Event(known.defect.first_seen_on, None, state))
    for look in _told(known):
        while rest and rest[0][0] < look.seen_on:
            on, move = rest.pop(0)
            state = move.to_state
            events.append(_Event(on, None, state, _reason(move)))
        missed = look.found == Observation.Found.NOT_FOUND
        taken = [m for on, m in rest if on == look.seen_on and _stands_beside(look, m)]
        if missed and not taken:
            continue
        if taken and _is_last_of_day(known, look):
            rest = [pair for pair in rest if pair[1] not in taken]
            state = taken[-1].to_state
        events.append(_Event(look.seen_on, look, state))
    events += [_Event(on, None, move.to_state, _reason(move)) for on, move in rest]
    return events


def _dated(known: KnownDefect) -> list[tuple[date, DefectMove]]:
    """Return the moves in the order they were made; none is dated before the one it follows.

    That it goes on at a part of a split pavement no file tells: a split is made on its page.
    """
    dated: list[tuple[date, DefectMove]] = []
    for move in (move for move in known.moves if move.to_state != "carried_on"):
        dated.append((max(move.on, dated[-1][0]) if dated else move.on, move))
    return dated


def _told(known: KnownDefect) -> list[Observation]:
    """Return looks that a line can tell: one at a time of a day where it was missed."""
    return [look for look in known.looks if look.found != Observation.Found.COULD_NOT_LOOK]


def _stands_beside(look: Observation, move: DefectMove) -> bool:
    """Say whether reading the look's line again gives this move too."""
    if look.found == Observation.Found.NOT_FOUND:
        return move.to_state in ("not_found_once", "not_found_closed")
    return move.from_state == "not_found_once" or _is_measured(look)


def _is_measured(look: Observation) -> bool:
    """Say whether the columns hold anything that was measured; the line is then no move alone."""
    if look.severity or look.empties.get("severity"):
        return True
    return bool(_shown(look.defect.kind, look) or _direction(look.defect.kind, look))


def _direction(kind: str, look: Observation | None) -> str:
    return look.direction if look is not None and has_direction(kind) else ""


def _shown(kind: str, look: Observation) -> dict[str, float]:
    names = {EXTENT_OF[kind_of(kind).unit], width_of(kind), "lip_m"}
    found = {name: getattr(look, name) for name in names}
    return {name: value for name, value in found.items() if value is not None}


def _is_last_of_day(known: KnownDefect, look: Observation) -> bool:
    same = [other for other in _told(known) if other.seen_on == look.seen_on]
    return same[-1] is look


def _reason(move: DefectMove) -> str:
    found = FROM_FILE.fullmatch(move.why)
    return (found["rest"] or "") if found else move.why


def _severity(kind: str, look: Observation | None) -> str:
    """The severity; "nm" where the measures of the line alone would give one that nobody gave."""
    if look is None or look.severity:
        return look.severity if look else ""
    given = grade(kind, Measured(**_shown(kind, look))).severity  # type: ignore[arg-type]
    return str(look.empties.get("severity", "nm" if given else ""))


def _millimetres(look: Observation | None, name: str) -> Cell:
    value = getattr(look, name, None)
    if look is None or value is None:
        return ""
    written = _as_written(look, name, Kind.SMALL_LENGTH, value * MM_PER_M)
    if written is not None and written[0] is System.SI:
        return number(written[1])
    return _rounded(value * MM_PER_M)


def _extent(known: KnownDefect, look: Observation | None) -> tuple[str, System | None, Cell]:
    """Return the unit, the system it tells, and the extent of a look."""
    unit = kind_of(known.defect.kind).unit
    place = known.place
    sheets = place.system if place.text else System(known.defect.pavement.sheet_system)
    value = getattr(look, EXTENT_OF[unit], None)
    if unit == "count":
        said = "" if value is None else "count"
        return said, None, _empty(look, unit) if value is None else number(value)
    if value is None and not place.has_lengths:
        return "", None, _empty(look, unit)
    if value is None:
        return _WORD_OF[unit, sheets], sheets, _empty(look, unit)
    assert look is not None
    in_si = value * MM_PER_M if unit == "mm" else value
    written = _as_written(look, EXTENT_OF[unit], QUANTITIES[unit], in_si)
    if written is not None:
        return _WORD_OF[unit, written[0]], written[0], number(written[1])
    if sheets is System.SI:
        return _WORD_OF[unit, sheets], sheets, _plain(in_si, unit)
    return _WORD_OF[unit, sheets], sheets, _rounded(from_si(in_si, QUANTITIES[unit], sheets))


def _empty(look: Observation | None, unit: str) -> Cell:
    return look.empties.get(EXTENT_OF[unit], "") if look is not None else ""


def _as_written(
    look: Observation, name: str, kind: Kind, value_si: float
) -> tuple[System, float] | None:
    """Return the system and number as written, if it still is that one."""
    try:
        written = read_quantity(look.written(name), kind)
    except DomainError:
        return None
    scale = MM_PER_M if kind is Kind.SMALL_LENGTH else 1
    is_same = abs(written.si / scale - value_si / scale) <= 1e-15 * abs(value_si / scale)
    return (written.system, written.standard) if is_same else None


def _plain(value: float, unit: str) -> Cell:
    return _rounded(value) if unit == "mm" else number(value)


def _rounded(value: float) -> Cell:
    """A number that was turned from another unit, without the last bits of that."""
    cell = number(float(f"{value:.12g}"))
    return cell if isinstance(cell, Number) else ""
