"""Which spot a table means: a fixed point by its letter or its place, else a spot of its own."""

import re

from registry.actions.add_entry import add_entry
from registry.demo.ground import GROUNDS, Ground
from registry.demo.people import Cast
from registry.demo.plans import point_of
from registry.models import Panel, Pavement, Spot
from registry.models.choices import StratumKind

EDGE, WHEELS, FIELD = StratumKind.RUN_ON_EDGE, StratumKind.WHEEL_PATH, StratumKind.FIELD
# Strata of spots that are no fixed points, where a remark or the rows of table 2G tell them.
TOLD = {
    ("PP-19-06", "A4 new"): EDGE,
    ("PP-19-06", "A7"): EDGE,
    ("PP-19-06", "C3"): WHEELS,
    ("PP-20-07", "C4"): FIELD,
    ("PP-22-08", "A1 edge"): EDGE,
}
EDGE_SPOT = "A1, 3 ft from the edge (random)"
GROUND_OF = {ground.key: ground for ground in GROUNDS}


class Spots:
    """Finds the spots of the tables and makes those that are not there yet."""

    def __init__(self, cast: Cast) -> None:
        self.cast = cast
        self._found: dict[tuple[int, str], Spot] = {}

    def of(self, pavement: Pavement, key: str, written: str, author: str) -> Spot:
        """Return the spot meant by `written` on the pavement with a key."""
        name = name_of(GROUND_OF[key], written)
        if (pavement.pk, name) not in self._found:
            known = pavement.spots.filter(name=name).first()
            self._found[pavement.pk, name] = known or self._make(
                pavement, key, name, written, author
            )
        return self._found[pavement.pk, name]

    def _make(self, pavement: Pavement, key: str, name: str, written: str, author: str) -> Spot:
        spot = Spot(
            pavement=pavement,
            name=name,
            place=written,
            is_fixed="random" not in written,
            stratum=TOLD.get((key, name), ""),
            panel=_panel(pavement, written),
        )
        if spot.panel is not None and spot.panel.replaces_id is not None:
            spot.concrete_placed_on = spot.panel.placed_on
        elif spot.panel is None and (at := point_of(pavement, written)) is not None:
            spot.right_m, spot.up_m = at
        return add_entry(spot, **self.cast.as_author(author))


def name_of(ground: Ground, written: str) -> str:
    """Return a spot's name: U for "U", "D6", "D6 (U)" and "A3" where those are one place."""
    if written == EDGE_SPOT:
        return "A1 edge"
    if "(new)" in written or "second spot" in written:
        return written.replace(" (new)", " new").split(",")[0]
    plain = re.sub(r" \(.*\)$", "", written)
    if plain in ground.fixed:
        return plain
    by_place = {place: name for name, place in ground.fixed.items() if place}
    return by_place.get(plain, plain)


def _panel(pavement: Pavement, written: str) -> Panel | None:
    """Return the panel whose name a place begins with: the one that is there now."""
    begins = re.match(r"[A-HJ-NP-Z]\d+", written)
    if begins is None:
        return None
    return pavement.panels.standing().filter(name=begins[0], exists_to_on__isnull=True).first()
