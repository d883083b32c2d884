"""Defects of the record with their looks and moves, as a file tells them."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from django.db.models import Prefetch, Q

from registry.exchange.defect_places import CellPlace, stored_place
from registry.models import Defect, DefectMove, Observation


@dataclass(frozen=True)
class KnownDefect:
    """A defect of the record with its standing looks and its moves, oldest first."""

    defect: Defect
    place: CellPlace
    looks: list[Observation]
    moves: list[DefectMove]

    @property
    def label(self) -> str:
        """Return the number by which a file names it."""
        return self.defect.other_number or str(self.defect.number)

    @property
    def last_on(self) -> date:
        """Return the last day of which the record tells something of it."""
        days = [look.seen_on for look in self.looks] + [move.on for move in self.moves]
        return max(days, default=self.defect.first_seen_on)

    @property
    def history(self) -> list[str]:
        """Return the states it was in, oldest first."""
        return [state for m in self.moves for state in (m.from_state, m.to_state) if state]

    def states_of(self, day: date) -> set[str]:
        """Return the state in which it was when a day began, and those it came to on it."""
        before = [m.to_state for m in self.moves if m.on < day or not m.from_state]
        on_day = {m.to_state for m in self.moves if m.on == day}
        return on_day | ({before[-1]} if before else {self.defect.state})

    def looks_on(self, day: date) -> Iterator[Observation]:
        """Yield the looks of a day that found it or did not."""
        for look in self.looks:
            if look.seen_on == day and look.found != Observation.Found.COULD_NOT_LOOK:
                yield look


def gather_defects(defects: Q, looks: Q) -> dict[int, list[KnownDefect]]:
    """Return standing defects by pavement, in order of number, with the looks that may be seen."""
    found: dict[int, list[KnownDefect]] = defaultdict(list)
    seen = Observation.objects.standing().filter(looks).order_by("seen_on", "pk")
    moves = DefectMove.objects.order_by("at", "pk")
    rows = Defect.objects.standing().filter(defects).select_related("pavement__site")
    rows = rows.prefetch_related(
        Prefetch("observations", seen, "looks_in_order"), Prefetch("moves", moves, "moves_in_order")
    )
    for row in rows.order_by("pavement", "number"):
        known = KnownDefect(row, stored_place(row), row.looks_in_order, row.moves_in_order)
        found[row.pavement_id].append(known)
    return found
