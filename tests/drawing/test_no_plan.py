"""Where no plan was drawn yet, what to do first stands in its place and fits in it."""

import pytest

from registry.drawing.lettering import text_width_mm
from registry.drawing.no_plan import no_plan
from registry.drawing.primitives import Text


@pytest.mark.parametrize("size", [(90.0, 120.0), (180.0, 90.0)])
def test_steps_fit_into_the_frame(size):
    drawing = no_plan(size)
    for item in drawing.items:
        if isinstance(item, Text):
            assert item.at[0] + text_width_mm(item.text, item.size_pt, bold=item.bold) <= size[0]
            assert item.at[1] <= size[1]


def test_all_four_steps_are_there_and_read_out():
    drawing = no_plan((180.0, 90.0))
    told = " ".join(drawing.texts)
    assert all(f"{nth}. " in told for nth in range(1, 5))
    assert drawing.title in drawing.texts and "Datum" in drawing.desc
