"""The plan as a page shows it: no higher than it needs, and light however many spots there are."""

import pytest

from registry.drawing import Mark, SpotMark, Symbol, plan_picture, to_svg
from registry.drawing.plan_picture import ground_picture
from registry.drawing.plan_things import NAMED_SPOTS
from registry.drawing.primitives import Line, Polyline, Text, every_item
from registry.drawing.symbols import lines_of
from tests.drawing.pictures import FEET
from tests.plan.layouts import BEFORE, closing_lot, curved_lane, north_lot, paver_lot, walk

SIZE = (130.0, 130.0)


def lowest(drawing):
    """How far down anything is drawn, mm."""
    downs = []
    for item in every_item(drawing.items):
        if isinstance(item, Line):
            downs += [item.start[1], item.end[1]]
        elif isinstance(item, Polyline):
            downs += [y for _, y in item.points]
        elif isinstance(item, Text):
            downs.append(item.at[1])
    return max(downs)


@pytest.mark.parametrize("make", [north_lot, closing_lot, curved_lane, paver_lot, walk])
def test_a_trimmed_plan_is_the_same_plan_without_the_white_above_and_below(make):
    whole = plan_picture(make(), on=BEFORE, size_mm=SIZE, system=FEET)
    trimmed = plan_picture(make(), on=BEFORE, size_mm=SIZE, system=FEET, is_trimmed=True)
    assert trimmed.width_mm == whole.width_mm
    assert trimmed.height_mm <= whole.height_mm
    assert sorted(trimmed.texts) == sorted(whole.texts)
    assert trimmed.height_mm - 6 < lowest(trimmed) <= trimmed.height_mm


def test_a_lot_lying_on_its_side_loses_a_quarter_of_its_height():
    assert plan_picture(north_lot(), on=BEFORE, size_mm=SIZE, system=FEET).height_mm == 130
    trimmed = plan_picture(north_lot(), on=BEFORE, size_mm=SIZE, system=FEET, is_trimmed=True)
    assert trimmed.height_mm < 0.75 * 130


def test_what_is_tapped_lies_where_the_picture_shows_it():
    drawing, frame = ground_picture(north_lot(), on=BEFORE, size_mm=SIZE, system=FEET)
    datum = next(
        item
        for item in every_item(drawing.items)
        if isinstance(item, Mark) and item.symbol == Symbol.DATUM and item.size_mm > 4
    )
    assert frame.at((0.0, 0.0)) == pytest.approx(datum.at)


def spots(count, valued=0):
    return tuple(
        SpotMark(f"S{n}", (0.3 + n % 12, 0.3 + n // 12 * 0.45), "< 3.9 in/h" if n < valued else "")
        for n in reversed(range(count))
    )


def test_a_thousand_spots_stay_light_and_those_with_a_value_keep_their_names():
    drawing = plan_picture(
        north_lot(), on=BEFORE, size_mm=SIZE, system=FEET, spots=spots(1_000, valued=20)
    )
    assert len(to_svg(drawing, id_prefix="p")) < 150_000
    assert {f"S{n}" for n in range(20)} <= {text.split()[0] for text in drawing.texts if text}
    crosses = [i for i in every_item(drawing.items) if isinstance(i, Mark) and i.symbol == "spot"]
    assert len(crosses) <= NAMED_SPOTS + 1, "and one in the caption"
    assert f"{1_000 - NAMED_SPOTS} more" in drawing.desc


def test_a_photo_is_not_drawn_like_the_arrow_that_shows_up():
    arrow, photo = (lines_of(Mark((0.0, 0.0), sign)) for sign in (Symbol.ARROW, Symbol.PHOTO))
    assert not set(arrow) & set(photo)
