"""The callback dossier: front sheet and annexes A to I bound into one PDF, pages numbered over all.

The annexes are laid out first, so that the front sheet can say on which pages each stands.
"""

from collections.abc import Iterable, Mapping
from functools import partial

from registry.dossier import Book
from registry.sheets.binding import Page, bind
from registry.sheets.box import Paper
from registry.sheets.contents import DrawnSheet, Heading, SheetMark
from registry.sheets.dossier_annexes import cover_blocks, load_blocks, plan_blocks, test_blocks
from registry.sheets.dossier_front import front_of
from registry.sheets.dossier_front_page import draw_front
from registry.sheets.dossier_papers import (
    core_blocks,
    figure_blocks,
    letter_blocks,
    photo_blocks,
    winter_blocks,
)
from registry.sheets.flowing import Block, Flow
from registry.sheets.footer import draw_footer
from registry.sheets.ink import Ink

BEGINS_WITH_MM = 50.0
"""An annex begins below the one before where so much of the page is left, else on a new page."""


def draw_dossier(
    book: Book,
    heading: Heading,
    mark: SheetMark,
    paper: Paper,
    *,
    thumbs: Mapping[str, bytes],
    record_sha256: str,
) -> DrawnSheet:
    """Draw the whole dossier. thumbs: name of a photo to its small JPEG.

    Raises SheetError where the front sheet has no room for its blocks.
    """
    annexes: tuple[tuple[str, str, Iterable[Block]], ...] = (
        ("A", "plan", plan_blocks(book)),
        ("B", "load record", load_blocks(book)),
        ("C", "curing log", cover_blocks(book)),
        ("D", "tests", test_blocks(book)),
        ("E", "photos", photo_blocks(book, thumbs)),
        ("F", "winter log", winter_blocks(book)),
        ("G", "letters", letter_blocks(book)),
        ("H", "cores", core_blocks(book)),
        ("I", "figures", figure_blocks(book, record_sha256)),
    )
    flow, listed = Flow(), []
    for letter, title, blocks in annexes:
        flow.room(BEGINS_WITH_MM)
        first = len(flow.pages) + 1
        flow.heading(f"Annex {letter}: {title}")
        for block in blocks:
            flow.add(block)
        listed.append((letter, title, _pages(first, len(flow.pages) + 1)))
    front = front_of(book)
    pages: list[Page] = [partial(draw_front, front=front, annexes=listed)]
    pages += [partial(_annex_page, strokes=strokes) for strokes in flow.pages]
    return bind(heading, mark, paper, pages)


def _pages(first: int, last: int) -> str:
    return f"{first}" if first == last else f"{first}-{last}"


def _annex_page(ink: Ink, *, strokes: list[Page]) -> None:
    for stroke in strokes:
        stroke(ink)
    draw_footer(ink)
