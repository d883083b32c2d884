import math
import random
from dataclasses import replace
from datetime import date

import pytest

from registry.drawing import (
    Area,
    DefectMark,
    DrawingError,
    Group,
    Mark,
    SpotMark,
    StateArea,
    Symbol,
    Text,
    plan_picture,
    plan_pictures,
)
from registry.drawing.frames import ScaleFrame, fitted
from registry.drawing.labels import Labels
from registry.drawing.lettering import text_height_mm, text_width_mm
from registry.drawing.primitives import Role, every_item
from registry.plan import Layout, grid
from registry.units import System
from tests.drawing.pictures import FEET, SPOTS, lot_picture, lot_shape
from tests.plan.layouts import (
    AFTER,
    BEFORE,
    FT,
    closing_lot,
    curved_lane,
    datum,
    mended_lot,
    north_lot,
    paver_lot,
    walk,
)


def marks(drawing, symbol):
    return [
        item
        for item in every_item(drawing.items)
        if isinstance(item, Mark) and item.symbol == symbol
    ]


def test_letters_and_numbers_stand_on_both_sides():
    texts = lot_picture().texts
    for name in ("A", "B", "C", "D", *map(str, range(4, 12))):
        assert texts.count(name) == 2, name


def test_picture_says_up_datum_ties_and_check_length():
    text = " ".join(lot_picture().texts)
    assert "UP, toward the entrance" in text
    assert "datum: chiseled cross" in text
    assert "ties 18.42 hydrant bolt, 23.07 door jamb" in text
    assert "check 132.0 ft" in text


def test_ties_are_shown_in_the_system_asked_for():
    drawing = plan_picture(north_lot(), on=BEFORE, size_mm=(182, 120), system=System.SI)
    assert "ties 5.61 hydrant bolt, 7.03 door jamb; check 40.23 m" in " ".join(drawing.texts)


def test_ties_without_a_check_length_behind_them_have_their_unit():
    lot = north_lot()
    lot = replace(lot, datum=replace(lot.datum, check_length_m=None))
    drawing = plan_picture(lot, on=BEFORE, size_mm=(182, 120), system=System.INCH_POUND)
    text = " ".join(drawing.texts)
    assert "ties 18.42 ft hydrant bolt, 23.07 ft door jamb" in text


def test_state_is_a_word_and_a_hatch_and_never_only_a_colour():
    drawing = lot_picture()
    assert "run-on edge: clean" in drawing.texts
    assert "wheel path: watch" in drawing.texts
    assert "leaf side: not decided (no outline yet)" in drawing.texts
    assert {"clean", "watch"} <= set(drawing.texts)  # the key of the hatches


def test_unknown_condition_word_is_refused():
    with pytest.raises(DrawingError, match="six condition words"):
        StateArea("good", "wheel path")


def test_spots_and_defects_link_and_are_named():
    groups = [
        item for item in every_item(lot_picture().items) if isinstance(item, Group) and item.href
    ]
    assert {(group.href, group.title) for group in groups} == {
        ("/spots/1/", "U < 3.9 in/h"),
        ("/defects/7/", "prints, A2"),
    }
    assert all(group.reach_mm >= 4.0 for group in groups)


def test_new_concrete_is_marked_with_its_day():
    assert "thick: C8 placed 2025-05-13" in lot_picture(on=AFTER).texts
    assert not any("thick" in text for text in lot_picture(on=BEFORE).texts)


def test_saw_cut_parts_are_named_where_they_fit():
    drawing = plan_picture(mended_lot(), on=AFTER, size_mm=(182, 120), system=FEET)
    assert {"B4a", "B4ba", "B4bb"} <= set(drawing.texts)


@pytest.mark.parametrize("size_mm", [(182, 130), (110, 88), (92, 150), (70, 120)])
@pytest.mark.parametrize("make", [mended_lot, walk, paver_lot, closing_lot, curved_lane])
def test_no_writing_leaves_the_paper(make, size_mm):
    drawing = plan_picture(make(), on=BEFORE, size_mm=size_mm, system=FEET, spots=SPOTS)
    for item in every_item(drawing.items):
        if not isinstance(item, Text):
            continue
        assert item.size_pt >= 9.0
        wide = text_width_mm(item.text, item.size_pt, bold=item.bold)
        start = {"start": 0.0, "middle": wide / 2, "end": wide}[item.anchor]
        if item.turn_deg:
            assert item.at[1] - (wide - start) >= 0 and item.at[1] + start <= size_mm[1] + 0.5
            continue
        assert item.at[0] - start >= -0.5, item.text
        assert item.at[0] - start + wide <= size_mm[0] + 0.5, item.text
        assert item.at[1] - text_height_mm() >= 0 and item.at[1] <= size_mm[1] + 0.5


def test_path_is_a_strip_with_stations():
    drawing = plan_picture(walk(), on=BEFORE, size_mm=(182, 88), system=FEET)
    assert {"0+00", "1+00", "2+00"} <= set(drawing.texts)
    assert any("L and R from the center" in text for text in drawing.texts)


def test_path_spot_lies_on_the_strip_at_its_station():
    path = walk()
    spots = tuple(
        SPOTS[0].__class__(name, path.baseline.to_plan(station * FT, offset * FT))
        for name, station, offset in (("L", 10, -5.0), ("C", 10, 0.0), ("R", 30, 5.0))
    )
    drawing = plan_picture(path, on=BEFORE, size_mm=(182, 88), system=FEET, spots=spots)
    left, center, right = (mark.at for mark in marks(drawing, Symbol.SPOT)[:3])
    assert left[0] == pytest.approx(center[0])
    assert right[0] > center[0]
    assert right[1] - center[1] == pytest.approx(center[1] - left[1])


def test_squares_are_counted_from_the_datum():
    drawing = plan_picture(paver_lot(), on=BEFORE, size_mm=(110, 88), system=FEET)
    assert drawing.texts.count("6") == 4  # six rights and nine ups, at both ends
    assert drawing.texts.count("9") == 2
    assert "squares g(right,up) of 10 ft from the datum" in drawing.texts


def test_without_a_plan_the_picture_says_what_to_do_first():
    drawing = plan_picture(None, on=BEFORE, size_mm=(110, 88), system=FEET)
    text = " ".join(drawing.texts)
    assert drawing.title == "No plan yet: draw it first"
    for word in ("20 minutes", "Outline", "Joints", "Datum"):
        assert word in text


def test_day_before_the_first_panel_is_refused():
    with pytest.raises(DrawingError, match="2020-01-01"):
        plan_picture(north_lot(), on=date(2020, 1, 1), size_mm=(110, 88), system=FEET)


def test_picture_too_small_for_the_plan_is_refused():
    with pytest.raises(DrawingError, match="no room"):
        plan_picture(north_lot(), on=BEFORE, size_mm=(60, 20), system=FEET)


def test_small_plan_stays_on_one_sheet():
    pictures = plan_pictures(north_lot(), on=BEFORE, size_mm=(110, 88), system=FEET)
    assert len(pictures) == 1


def test_many_lanes_split_at_a_letter_with_one_lane_on_both():
    lot = Layout(FEET, datum(), grid(40, 4, 12 * FT, 12 * FT))
    pictures = plan_pictures(lot, on=BEFORE, size_mm=(182, 88), system=FEET)
    lanes = [
        [text for text in picture.texts if text.isalpha() and text.isupper() and text != "UP"]
        for picture in pictures
    ]
    assert len(pictures) == 2
    assert lanes[0][-1] == lanes[1][0]
    assert {name for part in lanes for name in part} == {panel.letter for panel in lot.panels}


def test_every_cell_of_a_split_plan_is_six_millimetres():
    lot = Layout(FEET, datum(), grid(30, 40, 12 * FT, 15 * FT))
    pictures = plan_pictures(lot, on=BEFORE, size_mm=(182, 88), system=FEET)
    for picture in pictures:
        cells = [
            item.items[0].points
            for item in picture.items
            if isinstance(item, Group) and "12 ft × 15 ft" in item.title
        ]
        for corners in cells:
            xs, ys = [x for x, _ in corners], [y for _, y in corners]
            assert min(max(xs) - min(xs), max(ys) - min(ys)) >= 6.0
    names = {
        item.title.split(",")[0]
        for picture in pictures
        for item in picture.items
        if isinstance(item, Group)
    }
    assert {panel.name for panel in lot.panels} <= names


def test_frame_turned_keeps_right_on_the_right_hand_of_up():
    upright = fitted((0, 0, 10, 40), (0, 0, 100, 100), turned=False)
    turned = fitted((0, 0, 10, 40), (0, 0, 100, 100), turned=True)
    for frame in (upright, turned):
        here, up, right = (frame.put(point) for point in ((5, 5), (5, 6), (6, 5)))
        up, right = ((there[0] - here[0], there[1] - here[1]) for there in (up, right))
        # y runs down on paper: right is a quarter turn clockwise from up when this is positive.
        assert up[0] * right[1] - up[1] * right[0] > 0


def test_point_outside_what_is_shown_is_left_out():
    frame = ScaleFrame((0, 0, 10, 10), (0, 0), 2.0)
    assert frame.at((5, 10)) == (10.0, 0.0)
    assert frame.at((5, 11)) is None


def test_labels_step_aside_for_each_other():
    labels = Labels((0, 0, 100, 100))
    first = labels.beside((50, 50), "first")
    second = labels.beside((50, 50), "second")
    assert first[1].at != second[1].at
    assert labels.beside((50, 50), "third", here_first=True, must=False)


def test_label_that_may_be_left_out_is_when_there_is_no_room():
    labels = Labels((0, 0, 100, 100), [(0.0, 0.0, 100.0, 100.0)])
    assert labels.beside((50, 50), "value", must=False) == ()
    assert labels.beside((50, 50), "name") != ()


def test_value_is_never_put_where_it_could_be_read_as_another_spots():
    crowded = tuple(
        SPOTS[0].__class__(name, (right * FT, 66 * FT), f"{right * 10} in/h")
        for name, right in (("M", 6), ("W", 18), ("N", 30), ("U", 42))
    )
    drawing = plan_picture(north_lot(), on=BEFORE, size_mm=(92, 150), system=FEET, spots=crowded)
    spots = {
        item.title: item.at
        for item in drawing.items
        if isinstance(item, Group) and item.reach_mm and item.at
    }
    valued = [
        item
        for item in every_item(drawing.items)
        if isinstance(item, Text) and item.bold and "in/h" in item.text
    ]
    assert len(spots) == 4
    for text in valued:
        at = spots[text.text]
        assert text.anchor == "start"
        assert 0 < text.at[0] - at[0] < 3
        assert abs(text.at[1] - at[1]) < 2


@pytest.mark.parametrize(("side_ft", "lies_on_it"), [(10, True), (4, False)])
def test_a_number_lies_on_a_hatch_only_where_the_kind_is_seen_round_it(side_ft, lies_on_it):
    mark = DefectMark(1, lot_shape(f"C4 · 1-{1 + side_ft} R · 1-{1 + side_ft} U"), Symbol.RAVELING)
    drawing = plan_picture(
        north_lot(), on=BEFORE, size_mm=(182, 260), system=FEET, known_defects=(mark,)
    )
    extent, number = (
        item for item in drawing.items if isinstance(item, Group) and "known defect" in item.title
    )
    (area,) = (item for item in extent.items if isinstance(item, Area))
    middle = [(min(sides) + max(sides)) / 2 for sides in zip(*area.points, strict=True)]
    assert (math.dist(number.at, middle) < 0.1) == lies_on_it


@pytest.mark.parametrize("seed", range(12))
def test_name_of_a_well_is_not_covered_by_nine_known_defects_and_spots_round_it(seed):
    chance = random.Random(seed)
    places = [
        f"{chance.choice('AB')}{chance.randint(9, 11)} · {chance.uniform(1, 11):.1f} R · "
        f"{chance.uniform(1, 10):.1f} U"
        for _ in range(9)
    ]
    drawing = plan_picture(
        north_lot(),
        on=BEFORE,
        size_mm=(100, 80),
        system=FEET,
        spots=tuple(SpotMark(s.name, (s.at[0], chance.uniform(100, 130) * FT)) for s in SPOTS),
        known_defects=tuple(DefectMark(n, lot_shape(p)) for n, p in enumerate(places, start=1)),
    )
    items = list(every_item(drawing.items))
    nth = next(n for n, item in enumerate(items) if getattr(item, "text", "") == "well 1")
    after = [one for one in items[nth + 1 :] if is_on_top(one)]
    assert [one for one in after if shared_mm2(box_of(items[nth]), box_of(one)) > 0.05] == []


def is_on_top(item):
    return isinstance(item, Text) or (isinstance(item, Area) and item.fill == Role.PAPER)


def box_of(item):
    """Left, top, right, bottom of words or of a ground of paper, mm."""
    if isinstance(item, Area):
        xs, ys = [x for x, _ in item.points], [y for _, y in item.points]
        return (min(xs), min(ys), max(xs), max(ys))
    wide = text_width_mm(item.text, item.size_pt, bold=item.bold)
    left = item.at[0] - {"start": 0.0, "middle": wide / 2, "end": wide}[item.anchor]
    return (left, item.at[1] - text_height_mm(item.size_pt), left + wide, item.at[1])


def shared_mm2(one, other):
    wide = min(one[2], other[2]) - max(one[0], other[0])
    tall = min(one[3], other[3]) - max(one[1], other[1])
    return wide * tall if wide > 0 and tall > 0 else 0.0
