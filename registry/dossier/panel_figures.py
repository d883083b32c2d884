"""Loads laid over the panels: areas, shares, raveled share of each load (N17), change, lag.

Rows asked for: `panels` (outline, lane), `spreads` (load, lane, from, to), and the looks of
`registry.dossier.look_figures`.
"""

import math
from collections.abc import Sequence

from registry.dossier.look_figures import (
    LookDay,
    add_look_figures,
    look_days,
    pairs_of,
    panel_of,
    raveled_name,
    share_of,
    take_share,
)
from registry.dossier.record import Book, Figure, Input, decimals, printed
from registry.placing import (
    LoadShares,
    NotGiven,
    PlacingError,
    Spread,
    lay_over,
    raveled_by_load,
    yield_check,
)


def shares_of(book: Book) -> LoadShares | NotGiven:
    """The loads laid over the panels, or why that cannot be."""
    if not book.of("panels") or not book.of("spreads"):
        return NotGiven("No load limits are known on a plan of panels.")
    spreads = [
        Spread(
            book.read("spreads", name, "load"),
            book.read("spreads", name, "lane"),
            book.read("spreads", name, "from", "m"),
            book.read("spreads", name, "to", "m"),
        )
        for name in book.of("spreads")
    ]
    if turned := [p for p in book.of("panels") if book.read("panels", p, "turned_deg")]:
        return NotGiven(f"{turned[0]} lies in a curve: feet along a lane do not say which part.")
    try:
        return lay_over(spreads, [panel_of(book, name) for name in book.of("panels")])
    except PlacingError as fault:
        return NotGiven(fault.message)


def add_panel_figures(book: Book) -> None:
    """Work out areas, shares, and what each load raveled on each day looked at."""
    for panel in book.of("panels"):
        outline = book.take("panels", panel, "outline")
        area = panel_of(book, panel).area_m2
        shown = f"{printed(area, 2)} m2"
        says = f"panel {panel}: area"
        formula = "area of an outline"
        book.give(
            f"panel {panel} area",
            Figure(says, formula, {"outline": outline}, area, "m2", shown, decimals(2)),
        )
    add_look_figures(book)
    shares = shares_of(book)
    if isinstance(shares, NotGiven):
        book.not_given["load limits"] = shares.reason
        return
    _give_shares(book, shares)
    _give_yield(book)
    days = look_days(book)
    for day in days:
        _give_raveled(book, shares, day)
    _give_changes(book, shares, days)
    _give_panel_lags(book, shares)


def share_name(panel: str, load: str) -> str:
    """Name of the figure of a load's part of a panel."""
    return f"panel {panel} load {load} share"


def change_name(load: str, before: LookDay, after: LookDay) -> str:
    """Name of the figure of what a load gained between two days."""
    return f"load {load} change {before.on} to {after.on} {before.graded_by}".strip()


def panel_change_name(panel: str, before: LookDay, after: LookDay) -> str:
    """Name of the figure of what a panel gained between two days."""
    return f"panel {panel} change {before.on} to {after.on} {before.graded_by}".strip()


def _give_shares(book: Book, shares: LoadShares) -> None:
    by_load: dict[tuple[str, str], list[str]] = {}
    for name in book.of("spreads"):
        key = (book.read("spreads", name, "load"), book.read("spreads", name, "lane"))
        by_load.setdefault(key, []).append(name)
    filled: dict[tuple[str, str], float] = {}
    for piece in shares.pieces:
        key = (piece.panel, piece.load)
        filled[key] = filled.get(key, 0.0) + piece.share
    for (panel, load), share in filled.items():
        names = by_load[load, book.read("panels", panel, "lane")]
        inputs: dict[str, Input | list[Input]] = {
            "outline": book.take("panels", panel, "outline"),
            "from": [book.take("spreads", name, "from", "m") for name in names],
            "to": [book.take("spreads", name, "to", "m") for name in names],
        }
        says = f"part of panel {panel} that load {load} filled"
        shown = f"{printed(share, 1, 100)} %"
        book.give(
            share_name(panel, load),
            Figure(says, "share of a panel", inputs, share, "", shown, decimals(1, 100)),
        )
    for load in shares.loads:
        own = shares.of_load(load)
        if own:
            value = shares.area_of(load)
            inputs = _parts(book, load, panels_of(shares, load))
            says, shown = f"load {load}: area on panels", f"{printed(value, 2)} m2"
            book.give(
                f"load {load} area",
                Figure(says, "area of a load", inputs, value, "m2", shown, decimals(2)),
            )


def _give_yield(book: Book) -> None:
    """N15 over all loads and panels, where every load has a volume and all days one thickness."""
    days, loads = list(book.of("placing_days")), list(book.of("loads"))
    thick = {book.read("placing_days", day, "thickness", "m") for day in days}
    volumes = [book.take("loads", load, "volume", "m3") for load in loads]
    if len(thick) != 1 or None in thick or any(one.value is None for one in volumes):
        return
    if any(book.read("pavement", one, "concrete_is_whole") is False for one in book.of("pavement")):
        book.not_given["yield"] = (
            "Panels of this concrete were gone before the notice: its tickets are of more concrete "
            "than the panels here hold."
        )
        return
    areas = book.results(f"panel {panel} area" for panel in book.of("panels"))
    inputs: dict[str, Input | Sequence[Input]] = {
        "volumes": volumes,
        "areas": areas,
        "thickness": book.take("placing_days", days[0], "thickness", "m"),
    }
    value = yield_check(
        math.fsum(one.value for one in volumes), math.fsum(one.value for one in areas), thick.pop()
    ).used
    says, shown = "concrete ticketed over concrete that fits in", f"{printed(value, 0, 100)} %"
    figure = Figure(says, "N15 yield", inputs, value, "", shown, decimals(0, 100))
    book.give("yield", figure)


def panels_of(shares: LoadShares, load: str) -> list[str]:
    """Panels that a load lies in, each once."""
    return list(dict.fromkeys(piece.panel for piece in shares.of_load(load)))


def _parts(book: Book, load: str, panels: list[str]) -> dict[str, Input | list[Input]]:
    return {
        "shares": [book.result(share_name(panel, load)) for panel in panels],
        "areas": [book.result(f"panel {panel} area") for panel in panels],
    }


def _give_raveled(book: Book, shares: LoadShares, day: LookDay) -> None:
    known = {panel: share_of(book, day, panel) for panel in day.rows if panel in shares.areas_m2}
    raveled = {panel: share for panel, share in known.items() if share is not None}
    found = raveled_by_load(shares, raveled, dict.fromkeys(raveled, day.graded_by))
    for load, value in found.items():
        name = raveled_name(load, day)
        if isinstance(value, NotGiven):
            book.give(name, value)
            continue
        panels = panels_of(shares, load)
        inputs = _parts(book, load, panels)
        inputs["values"] = [take_share(book, day, panel) for panel in panels]
        says = f"load {load}: raveled share on {day.on}"
        formula, shown = "N17 raveled share of a load", f"{printed(value, 1, 100)} %"
        book.give(name, Figure(says, formula, inputs, value, "", shown, decimals(1, 100)))


def _give_changes(book: Book, shares: LoadShares, days: Sequence[LookDay]) -> None:
    for before, after in pairs_of(days):
        for load in shares.loads:
            one, other = raveled_name(load, before), raveled_name(load, after)
            if book.has(one, other):
                inputs = {"before": book.result(one), "after": book.result(other)}
                says = f"load {load}: change from {before.on} to {after.on}"
                _give_change(book, change_name(load, before, after), says, inputs)
        for panel in (panel for panel in before.rows if panel in after.rows):
            if share_of(book, before, panel) is None or share_of(book, after, panel) is None:
                continue
            inputs = {
                "before": take_share(book, before, panel),
                "after": take_share(book, after, panel),
            }
            says = f"panel {panel}: change from {before.on} to {after.on}"
            _give_change(book, panel_change_name(panel, before, after), says, inputs)


def _give_change(book: Book, name: str, says: str, inputs: dict[str, Input]) -> None:
    value = inputs["after"].value - inputs["before"].value
    shown = f"{printed(value, 1, 100)} points"
    book.give(name, Figure(says, "N19 change", inputs, value, "", shown, decimals(1, 100)))


def _give_panel_lags(book: Book, shares: LoadShares) -> None:
    for panel in shares.areas_m2:
        loads = list(dict.fromkeys(piece.load for piece in shares.of_panel(panel)))
        if not loads or not book.has(*(f"load {load} lag" for load in loads)):
            continue
        inputs = {
            "weights": [book.result(share_name(panel, load)) for load in loads],
            "values": [book.result(f"load {load} lag") for load in loads],
        }
        value = shares.over_panel(panel, {load: book.value(f"load {load} lag") for load in loads})
        if isinstance(value, NotGiven):
            continue
        says = f"panel {panel}: time from discharge to cover, by area"
        shown = f"{printed(value, 1)} min"
        figure = Figure(says, "weighted mean", inputs, value, "min", shown, decimals(1))
        book.give(f"panel {panel} lag", figure)
