"""Panels side by side of different loads, and panels that fit no pattern, as on the page.

A comparison shows; it proves no cause.
"""

from collections.abc import Sequence

from registry.dossier.late_figures import LATE, late_rule
from registry.dossier.look_figures import LookDay, panel_of, share_of, take_share
from registry.dossier.panel_figures import shares_of
from registry.dossier.record import Book, Figure, decimals, printed
from registry.dossier.winter_figures import zone_of
from registry.placing import NotGiven
from registry.placing.groups import MOST_PAIRS, NOTABLE, outside, side_by_side

ALONE = "panels that fit no pattern"


def give_neighbours(book: Book, day: LookDay) -> None:
    """Work out the differences between neighbouring panels of different loads."""
    shares = shares_of(book)
    if isinstance(shares, NotGiven):
        return
    panels = [panel_of(book, name) for name in book.of("panels")]
    for pair in side_by_side(shares, panels, _raveled(book, day))[:MOST_PAIRS]:
        inputs = {
            "before": take_share(book, day, pair.beside),
            "after": take_share(book, day, pair.panel),
        }
        says = (
            f"{pair.panel} (load {pair.loads}) {printed(pair.raveled, 1, 100)} %, beside "
            f"{pair.beside} (load {pair.beside_loads}) {printed(pair.beside_raveled, 1, 100)} %"
        )
        shown = f"{printed(pair.difference, 1, 100)} points"
        figure = Figure(says, "difference", inputs, pair.difference, "", shown, decimals(1, 100))
        book.give(side_name(pair.panel, pair.beside), figure)


def side_name(panel: str, beside: str) -> str:
    """Name of the figure of two panels side by side."""
    return f"panel {panel} beside {beside}"


def give_alone(book: Book, days: Sequence[LookDay], pair: tuple[LookDay, LookDay] | None) -> None:
    """Name the panels notable at the newest look, of no late load and in no zone.

    pair  the looks between which the winter zone lies, where there are two
    """
    shares, rule = shares_of(book), late_rule(book, LATE)
    if isinstance(shares, NotGiven) or rule is None:
        return
    newest = next(day for day in days if day.on == max(one.on for one in days))
    late = rule.late({load: book.value(f"load {load} lag") for load in book.of("loads")})
    zone = zone_of(book, *pair)[0] if pair else set()
    found = outside(shares, _raveled(book, newest), late, zone, least=NOTABLE)
    book.not_given[ALONE] = (
        f"Panels over {NOTABLE:.0%} raveled on {newest.words} that hold no load covered later "
        f"than {rule.words} and lie in no plow or salt zone: {', '.join(found) or 'none'}."
    ).replace("%", " %")


def _raveled(book: Book, day: LookDay) -> dict[str, float]:
    shares = {panel: share_of(book, day, panel) for panel in day.rows}
    return {p: one for p, one in shares.items() if one is not None and p in book.of("panels")}
