"""A row of the file of defects beside what the record has of that defect on that day."""

from collections.abc import Iterator
from math import isclose

from registry.defects import STATES
from registry.exchange.defect_known import KnownDefect
from registry.exchange.defect_rows import MM_PER_M, DefectRow
from registry.models import Observation

COLUMN_OF = {
    "area_m2": "extent",
    "length_m": "extent",
    "count": "extent",
    "lip_m": "lip_mm",
    "width_m": "width_mm",
    "crack_width_m": "width_mm",
}


def tells_only_state(known: KnownDefect, row: DefectRow) -> bool:
    """Say whether a row tells a move of the record and nothing else."""
    if row.is_measured or not row.state:
        return False
    moved = {move.to_state for move in known.moves if move.on == row.seen_on}
    return row.state in moved


def differences(
    look: Observation, row: DefectRow, known: KnownDefect
) -> Iterator[tuple[str, str, str]]:
    """Yield (column, in the file, in the record) where a filled cell says another thing."""
    for name, value in row.measures.items():
        stored = getattr(look, name)
        if stored is None or not isclose(value, stored, rel_tol=1e-9, abs_tol=1e-9):
            yield COLUMN_OF[name], _said(name, value), _said(name, stored)
    if row.severity and row.severity != look.severity:
        yield "severity", f"“{row.severity}”", f"“{look.severity}”" if look.severity else "nothing"
    if row.state and row.state not in known.states_of(row.seen_on):
        was = " or ".join(sorted(STATES[state] for state in known.states_of(row.seen_on)))
        yield "state", f"“{STATES[row.state]}”", f"“{was}”"
    if row.marks.method and row.marks.method != look.method:
        yield "note", f"“{row.marks.method}”", f"“{look.method}”" if look.method else "no method"
    if row.marks.direction and row.marks.direction != look.direction:
        way = str(Observation.Direction(row.marks.direction).label)
        yield (
            "note",
            f"“{way}”",
            f"“{look.get_direction_display()}”" if look.direction else "no way",
        )
    if row.marks.rest and row.marks.rest != look.note.strip().replace("\r\n", "\n"):
        yield "note", f"“{row.marks.rest}”", f"“{look.note}”" if look.note else "nothing"


def _said(name: str, value: float | None) -> str:
    if value is None:
        return "nothing"
    if name == "count":
        return f"{value:g}"
    if COLUMN_OF[name] == "extent":
        return f"{value:.6g} {'m²' if name == 'area_m2' else 'm'}"
    return f"{value * MM_PER_M:.6g} mm"
