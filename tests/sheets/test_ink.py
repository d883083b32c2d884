from io import BytesIO

import pytest
from reportlab.pdfgen.canvas import Canvas

from registry.sheets.box import PAPERS, SheetError
from registry.sheets.ink import Ink, broken, shortened, width_of
from registry.sheets.rows import Row, comb_width, table


@pytest.fixture
def ink() -> Ink:
    return Ink(Canvas(BytesIO()), PAPERS["letter"])


def test_words_that_fit_are_left_alone():
    assert shortened("14  Canal St", 60) == "14 Canal St"


def test_words_too_long_visibly_end_in_dots_and_fit():
    name = "Lower Meadow Elementary School, staff and visitor lot, east of the gym"
    short = shortened(name, 60, size=11, bold=True)
    assert short.endswith("…")
    assert name.startswith(short[:-1].rstrip())
    assert width_of(short, size=11, bold=True) <= 60


def test_a_single_long_word_is_shortened_too():
    assert shortened("Grundstücksverwaltungsgesellschaft", 20).endswith("…")


def test_words_are_broken_into_lines_and_only_the_last_is_shortened():
    lines = broken("raveling along the joint with the closing piece", 22, lines=2)
    assert len(lines) == 2
    assert not lines[0].endswith("…")
    assert lines[1].endswith("…")
    assert all(width_of(line) <= 22 for line in lines)


def test_letters_under_9_pt_are_refused(ink):
    with pytest.raises(SheetError, match="9 pt"):
        ink.text(0, 0, "small", size=8.9)


def test_a_row_never_prints_over_its_end(ink):
    row = Row(ink, 0, 0, 40)
    with pytest.raises(SheetError, match="no room"):
        row.word("water poured").comb("####.#")


def test_a_comb_has_6_mm_for_each_digit():
    assert comb_width("####") == 24
    assert comb_width("##.##") == pytest.approx(24 + 2.6)


def test_a_column_too_narrow_for_its_heading_is_refused(ink):
    with pytest.raises(SheetError, match="last seen"):
        table(ink, 0, (("no.", 10.0), ("last seen", 8.0)), 2, head_mm=4)
