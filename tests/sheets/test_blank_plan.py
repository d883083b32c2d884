"""The plan of a sheet that has none: cells with letters and numbers, and room for the datum."""

from itertools import pairwise

from registry.drawing.primitives import Anchor, Line, Text
from registry.plan.panels import letter_of
from registry.sheets.blank_plan import ACROSS, CELL_MM, DOWN, blank_plan

DRAWING = blank_plan((136.0, 84.0))


def test_cells_are_six_millimetres_each_way():
    lines = [item for item in DRAWING.items if isinstance(item, Line)]
    upright = sorted({line.start[0] for line in lines if line.start[0] == line.end[0]})
    level = sorted({line.start[1] for line in lines if line.start[1] == line.end[1]})[: DOWN + 1]
    assert len(upright) == ACROSS + 1
    for rules in (upright, level):
        assert {round(b - a, 6) for a, b in pairwise(rules)} == {CELL_MM}


def test_letters_go_right_without_i_and_o_and_numbers_go_up():
    named = [i for i in DRAWING.items if isinstance(i, Text) and i.anchor == Anchor.MIDDLE]
    letters = [letter_of(nth) for nth in range(ACROSS)]
    assert not {"I", "O"} & set(letters)
    assert [item.text for item in named[:ACROSS]] == letters
    at = {item.text: item.at[1] for item in named if item.text.isdigit()}
    assert at["1"] > at["2"] > at[str(DOWN)], "y runs down, numbers go up"


def test_datum_ties_and_check_length_have_a_line_to_write_on():
    assert {"datum", "ties", "check"} <= set(DRAWING.texts)
