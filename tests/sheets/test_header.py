"""The square of dots is read from the finished page, as a phone would see it."""

import numpy as np
import pytest
import segno

from registry.sheets.box import BOX_WIDTH_MM, PAPERS
from registry.sheets.contents import InspectionContent, SheetMark
from registry.sheets.header import QR_MM
from registry.sheets.inspection import draw_inspection
from registry.sheets.printing import draw_sheet
from tests.sheets import printed
from tests.sheets.dots import read
from tests.sheets.made_up import US, blank

CONTENT = InspectionContent(blank("INSPECTION", US))


def dots(pdf: bytes, paper: str) -> np.ndarray:
    """The dots at the right of the head, True where black, as they come out of a printer."""
    size, scale = PAPERS[paper], printed.DOTS_PER_MM
    left = size.left_mm + BOX_WIDTH_MM - QR_MM - 0.5
    top = size.top_mm + 0.5
    rows = slice(int((top + 0.4) * scale), int((top + QR_MM - 0.4) * scale))
    columns = slice(int((left + 0.4) * scale), int((left + QR_MM - 0.8) * scale))
    dark = printed.picture(pdf, 0)[rows, columns] < 128
    across, down = np.flatnonzero(dark.any(axis=0)), np.flatnonzero(dark.any(axis=1))
    dark = dark[down[0] : down[-1] + 1, across[0] : across[-1] + 1]
    finder = next(n for n in range(dark.shape[1]) if not dark[2, n])  # seven dots wide
    count = round(dark.shape[1] / (finder / 7))
    steps = (np.arange(count) + 0.5) * dark.shape[1] / count
    return dark[np.ix_(steps.astype(int), steps.astype(int))]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize(
    "address",
    [
        "http://127.0.0.1:8000/sheets/INS-0001/",
        "https://records.public-works.example.org/pavements/sheets/INS-0417/",
    ],
)
def test_the_dots_hold_the_address_of_the_sheet(paper, address):
    sheet = draw_inspection(CONTENT, SheetMark("INS-0417", address), PAPERS[paper])
    found = dots(sheet.pdf, paper)
    assert read(found) == address


def test_the_address_is_made_of_the_public_address_and_the_number():
    sheet = draw_sheet(
        CONTENT, number="INS-0042", public_url="https://a.example.org", paper="letter"
    )
    assert read(dots(sheet.pdf, "letter")) == "https://a.example.org/sheets/INS-0042/open/"


def test_the_reader_of_the_dots_sees_a_spoiled_one():
    sheet = draw_inspection(CONTENT, SheetMark("INS-0417", "http://a.example/x"), PAPERS["a4"])
    found = dots(sheet.pdf, "a4")
    found[12, 12] = not found[12, 12]
    with pytest.raises(ValueError, match="check words"):
        read(found)


def test_the_reader_of_the_dots_reads_another_programs():
    made = segno.make("https://b.example/y", error="m", mode="byte", boost_error=False)
    assert read(np.array(made.matrix, dtype=bool)) == "https://b.example/y"
