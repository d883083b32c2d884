"""Looks at raveling and panels side by side in the annexes of a callback dossier."""

from collections.abc import Iterator

from registry.dossier import Book
from registry.dossier.look_figures import look_days, share_of
from registry.sheets.dossier_front import front_days
from registry.sheets.flowing import Block, Column, Said, Table

LOOKS_WIDE = 5


def look_blocks(book: Book) -> Iterator[Block]:
    """Looks by panel, each way of grading in a column of its own; then what has no share.

    None where those in the table of every panel are all.
    """
    looks = look_days(book)
    if looks == front_days(book):
        looks = ()
    for nth in range(0, len(looks), LOOKS_WIDE):
        own = looks[nth : nth + LOOKS_WIDE]
        rows = tuple(
            (panel, *(_percent(share_of(book, day, panel)) for day in own))
            for panel in book.of("panels")
            if any(panel in day.rows for day in own)
        )
        columns = (
            Column("panel", 16.0), *(Column(f"% {day.words}", 32.0, right=True) for day in own),
        )  # fmt: skip
        foot = "Ways of grading stand side by side only; they are never added up or set off."
        yield Table("Every look at raveling", columns, rows, foot)
    for name, why in book.not_given.items():
        if name.endswith(", of defects"):
            yield Said(f"{name.removesuffix(', of defects')}: no share from defects. {why}")


def _percent(share: float | None) -> str:
    return "" if share is None else f"{100 * share:.0f}"


def neighbour_blocks(book: Book) -> Iterator[Block]:
    """Neighbouring panels of different loads, as far as they are on the page."""
    rows = tuple(
        (one.says, one.shown) for one in book.figures.values() if one.formula == "difference"
    )
    if rows:
        columns = (
            Column("panels with a joint between and no load in common", 140.0),
            Column("difference", 30.0, right=True),
        )
        foot = "The largest differences first. A comparison shows; it proves no cause."
        yield Table("Side by side, different loads", columns, rows, foot)
