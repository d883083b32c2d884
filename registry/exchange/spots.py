"""The points that tests name: those of the record, and new ones, fixed, placed by panel."""

from dataclasses import dataclass, field
from typing import Any

from registry.exchange.earlier import Earlier
from registry.exchange.problems import Problem, Problems
from registry.exchange.run_rows import RunRow
from registry.exchange.signs import LOOK_ALIKE, skeleton
from registry.gathering.layouts import plan_panel
from registry.models import Panel, Spot
from registry.models.many_rows import ManyRows
from registry.plan.lengths import metres_from

Packed = list[Any]


@dataclass
class SpotBook:
    """Finds or makes the spot of each row. A new one has a key below zero until it is stored."""

    file: str
    doubts: Problems
    rows: ManyRows[Spot]
    new: list[Packed] = field(default_factory=list)
    keys: list[tuple[int, int, str]] = field(default_factory=list)
    """Key given here, key of the pavement, name: to find the stored spot again."""

    def spot_of(self, row: RunRow, pavement_key: int, earlier: Earlier) -> Spot:
        """Return the spot of a row; a new one is remembered under its pavement and name."""
        key = (pavement_key, row.point)
        spot = earlier.spots.get(key)
        if spot is None:
            spot = self._make(row, pavement_key, earlier)
            earlier.spots[key] = spot
        elif row.stratum and spot.stratum and row.stratum != spot.stratum:
            self._doubt(
                row,
                "stratum",
                f"{row.point} is at the stratum {spot.stratum} elsewhere, and here {row.stratum}.",
                "Ask which it is; a fixed point stays where it is.",
            )
        elif row.stratum and not spot.stratum:
            self._tell_stratum(row, spot)
        return spot

    def _tell_stratum(self, row: RunRow, spot: Spot) -> None:
        """Give a new spot the stratum that a later row of it names; ask about one of the record."""
        if spot.pk < 0:
            spot.stratum = row.stratum
            self.new[-spot.pk - 1] = self.rows.packed(spot)
            return
        self._doubt(
            row,
            "stratum",
            f"{row.point} is at no stratum in the record, and here at {row.stratum}.",
            "Write the stratum on the page of the point, if it is right.",
        )

    def _make(self, row: RunRow, pavement_key: int, earlier: Earlier) -> Spot:
        panel = earlier.panels.get((pavement_key, row.panel)) if row.panel else None
        if row.panel and panel is None and pavement_key in earlier.with_panels:
            self._doubt(
                row,
                "panel",
                f"There is no panel {row.panel} on the plan of this pavement.",
                "The place is kept as written; put it right on the page of the point.",
            )
        other = earlier.alike.setdefault((pavement_key, skeleton(row.point)), row.point)
        if other != row.point:
            self._doubt(
                row,
                "point",
                f"{row.point} and {other} {LOOK_ALIKE} They come in as two points.",
                f"If they are one, write {other} here as well.",
            )
        right_m, up_m = _on_plan(row, panel)
        spot = self.rows.make(
            pavement_id=pavement_key,
            panel_id=panel.pk if panel else None,
            name=row.point,
            stratum=row.stratum,
            place=place_of(row),
            right_m=right_m,
            up_m=up_m,
            as_written={n: row.written[n] for n in ("panel", "right", "up") if n in row.written},
        )
        spot.pk = -(len(self.new) + 1)
        self.new.append(self.rows.packed(spot))
        self.keys.append((spot.pk, pavement_key, row.point))
        return spot

    def _doubt(self, row: RunRow, column: str, message: str, mend: str) -> None:
        self.doubts.add(Problem(self.file, row.row, column, message, mend))


def place_of(row: RunRow) -> str:
    """Return the place in one text, as crews write it: C8 · 3.2 R · 8.5 U."""
    parts = [row.panel] if row.panel else []
    parts += [f"{row.written['right']} R"] if row.right is not None else []
    parts += [f"{row.written['up']} U"] if row.up is not None else []
    return " · ".join(parts)


def _on_plan(row: RunRow, panel: Panel | None) -> tuple[float | None, float | None]:
    """Metres right and up of the datum, where the row says enough."""
    if row.right is None or row.up is None:
        return None, None
    right_m, up_m = metres_from(row.right, row.system), metres_from(row.up, row.system)
    if panel is not None:
        return plan_panel(panel).to_plan(right_m, up_m)
    return (None, None) if row.panel else (right_m, up_m)
