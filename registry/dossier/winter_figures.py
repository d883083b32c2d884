"""What came over a winter within the plow or salt zone and outside of it, by area.

Rows asked for: `panels` (said_in_zone), `winter` (on, panels, makes_zone) and the looks. The zone
is that of the two looks compared, by the rule that the page of loads and panels goes by.
"""

from collections.abc import Sequence
from datetime import date

from registry.dossier.look_figures import LookDay, pairs_of
from registry.dossier.panel_figures import panel_change_name
from registry.dossier.record import Book, Figure, decimals, printed
from registry.placing.winter_zone import ZoneLine, zone_between

IN_ZONE, OUT_OF_ZONE = "panels in the winter zone, mean change", "other panels, mean change"


def give_winter(book: Book, days: Sequence[LookDay], day: LookDay) -> None:
    """Work out the change from the look compared to the next one graded alike."""
    for before, after in pairs_of(days):
        if (before.on, before.graded_by) == (day.on, day.graded_by):
            _give_zone(book, before, after)


def zone_of(book: Book, before: LookDay, after: LookDay) -> tuple[set[str], str]:
    """Panels of the zone between two looks, and the rule that said so."""
    names = tuple(book.of("panels"))
    told = {name: book.read("panels", name, "said_in_zone") for name in names}
    said = {name: value for name, value in told.items() if value is not None}
    lines = (
        ZoneLine(
            date.fromisoformat(book.read("winter", name, "on")),
            frozenset(book.read("winter", name, "panels") or ()),
            bool(book.read("winter", name, "makes_zone")),
        )
        for name in book.of("winter")
    )
    first, last = date.fromisoformat(before.on), date.fromisoformat(after.on)
    return zone_between(said, lines, first, last, names)


def _give_zone(book: Book, before: LookDay, after: LookDay) -> None:
    zone, rule = zone_of(book, before, after)
    known = [p for p in book.of("panels") if book.has(panel_change_name(p, before, after))]
    inside, outside = [p for p in known if p in zone], [p for p in known if p not in zone]
    if not inside or not outside:
        book.not_given[IN_ZONE] = "No panel, or every panel, lies in a logged winter zone."
        return
    for name, panels in ((IN_ZONE, inside), (OUT_OF_ZONE, outside)):
        weights = book.results(f"panel {panel} area" for panel in panels)
        values = book.results(panel_change_name(panel, before, after) for panel in panels)
        total = sum(one.value * value.value for one, value in zip(weights, values, strict=True))
        value = total / sum(one.value for one in weights)
        says = (
            f"{name} from {before.on} to {after.on}, {len(panels)} panels: {', '.join(panels)}. "
            f"{rule}"
            if name == IN_ZONE
            else f"{name} from {before.on} to {after.on}: {len(panels)} panels"
        )
        inputs = {"weights": weights, "values": values}
        shown = f"{printed(value, 1, 100)} points"
        figure = Figure(says, "weighted mean", inputs, value, "", shown, decimals(1, 100))
        book.give(name, figure)
