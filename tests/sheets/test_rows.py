"""A row of a sheet never prints over its end, and a comb has a cell for every digit."""

from io import BytesIO

import pytest
from reportlab.pdfgen.canvas import Canvas

from registry.sheets.box import PAPERS, SheetError
from registry.sheets.ink import DIGIT_MM, SIGN_MM, Ink, width_of
from registry.sheets.rows import MARGIN_MM, Row, comb_width, table
from tests.sheets.printed import words


@pytest.fixture
def ink():
    return Ink(Canvas(BytesIO()), PAPERS["a4"])


@pytest.mark.parametrize(
    "add",
    [
        lambda row: row.word("a word that is too long for it"),
        lambda row: row.comb("####-##-##"),
        lambda row: row.pen(30),
        lambda row: row.clock(30),
        lambda row: row.tick("drained at the limit"),
    ],
)
def test_what_does_not_fit_stops_the_sheet(ink, add):
    with pytest.raises(SheetError, match="no room"):
        add(Row(ink, 0, 0, 25))


def test_parts_stand_one_after_another_and_a_line_goes_to_the_end(ink):
    row = Row(ink, 10, 0, 100)
    row.word("date")
    assert row.at > 10 + MARGIN_MM + width_of("date")
    row.pen_to_end()
    assert row.at >= row.end
    with pytest.raises(SheetError):
        row.word("more")


def test_comb_has_a_cell_for_each_digit_and_room_for_its_signs():
    assert comb_width("####-##-##") == pytest.approx(8 * DIGIT_MM + 2 * SIGN_MM)


def test_printed_words_are_shortened_visibly_and_none_leave_a_line_to_write_on():
    file = BytesIO()
    canvas = Canvas(file)
    row = Row(Ink(canvas, PAPERS["a4"]), 0, 0, 100)
    row.printed("stalls or middle of the lot behind", 20).printed("", 20)
    canvas.save()
    told = " ".join(words(file.getvalue()))
    assert told.startswith("stalls") and "behind" not in told and "…" in told


def test_columns_begin_where_the_last_ends_and_a_narrow_one_is_refused(ink):
    assert table(ink, 0, (("no.", 20), ("place", 50)), 3, head_mm=5) == (0, 20)
    with pytest.raises(SheetError, match="too narrow"):
        table(ink, 0, (("severity as graded", 10),), 3, head_mm=5)
