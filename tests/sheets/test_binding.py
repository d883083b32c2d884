"""Pages bound into one PDF: exact size, the same head on each, the same bytes each time."""

from io import BytesIO

import pytest
from pypdf import PdfReader

from registry.sheets.binding import bind
from registry.sheets.box import PAPERS
from tests.sheets.made_up import MARK, heading
from tests.sheets.printed import paper_mm


def bound(paper="a4", pages=2):
    drawn = [lambda ink, nth=nth: ink.text(10, 100, f"page body {nth}") for nth in range(pages)]
    return bind(heading(), MARK, PAPERS[paper], drawn)


@pytest.mark.parametrize("paper", sorted(PAPERS))
def test_every_page_has_the_exact_size_of_its_paper(paper):
    size = PAPERS[paper]
    for found in paper_mm(bound(paper).pdf):
        assert found == pytest.approx((size.width_mm, size.height_mm), abs=0.01)


def test_each_page_has_the_head_with_the_number_and_its_own_body():
    sheet = bound()
    pages = [page.extract_text() for page in PdfReader(BytesIO(sheet.pdf)).pages]
    assert sheet.pages == len(pages) == 2
    for nth, text in enumerate(pages):
        assert "INS-0417" in text and f"page body {nth}" in text


def test_same_content_gives_the_same_bytes_and_is_printed_in_its_own_size():
    assert bound().pdf == bound().pdf
    reader = PdfReader(BytesIO(bound().pdf))
    assert reader.trailer["/Root"]["/ViewerPreferences"]["/PrintScaling"] == "/None"
