"""The callback dossier: rows as written and as read, and every figure with what it came from.

Pure. Rows go in as cells, figures come out of the rules of `registry.placing` and
`registry.measuring`, each with its inputs, formula and constants, so that a stranger can work it
out again. It lists evidence and computes; it never says who is liable.
"""

from registry.dossier.claim_figures import add_claim_figures
from registry.dossier.cure_figures import add_cure_figures
from registry.dossier.load_figures import add_load_figures
from registry.dossier.panel_figures import add_panel_figures
from registry.dossier.pattern_figures import add_pattern_figures
from registry.dossier.record import Book, Cell, Figure, Input, Row, blank, number, words
from registry.dossier.rest_figures import add_rest_figures
from registry.dossier.writing import manifest_text, record_json

__all__ = [
    "Book",
    "Cell",
    "Figure",
    "Input",
    "Row",
    "add_every_figure",
    "blank",
    "manifest_text",
    "number",
    "record_json",
    "words",
]


def add_every_figure(book: Book) -> None:
    """Work out all that the rows of a dossier give, in the order in which one rests on another."""
    add_load_figures(book)
    add_panel_figures(book)
    add_pattern_figures(book)
    add_cure_figures(book)
    add_rest_figures(book)
    add_claim_figures(book)
