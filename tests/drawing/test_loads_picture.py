"""Loads over panels: every number, limit and share is drawn without any need of colour."""

from dataclasses import replace

import pytest

from registry.drawing import DrawingError
from registry.drawing.hatches import Hatch, hatched
from registry.drawing.loads_picture import BareMark, LoadsShown, loads_picture
from registry.drawing.primitives import Area, Group, Role, Strokes, Text, Weight, every_item
from tests.drawing.pictures import pdf_text, svg_texts, words
from tests.placing.dispute import AUTUMN, in_zone, panels, raveled, shares

PAGE, PAPER = (110.0, 190.0), (178.0, 205.0)


def shown(**more):
    told = {name: f"{100 * share:.0f} %" for name, share in raveled(AUTUMN).items()}
    return LoadsShown(shares(), told, "2024-10-09, outline by tape", **more)


def areas(drawing, role):
    found = [item for item in every_item(drawing.items) if isinstance(item, Area)]
    return [item for item in found if item.edge == role]


@pytest.mark.parametrize("size_mm", [PAGE, PAPER], ids=["page", "paper"])
def test_every_load_has_its_number_in_each_of_its_lanes(size_mm):
    drawn = loads_picture(shown(), panels(), size_mm)
    big = [x.text for x in every_item(drawn.items) if isinstance(x, Text) and x.size_pt > 9]
    assert sorted(big, key=int) == sorted([*shares().loads, "5", "14"], key=int)


@pytest.mark.parametrize("size_mm", [PAGE, PAPER], ids=["page", "paper"])
def test_every_panel_of_the_lot_tells_its_raveled_share(size_mm):
    drawn = loads_picture(shown(), panels(), size_mm)
    assert sum(text.endswith(" %") for text in drawn.texts) == 44


def test_words_never_lie_on_each_other():
    drawn = loads_picture(shown(), panels(), PAGE)
    grounds = [item for item in every_item(drawn.items) if getattr(item, "fill", "") == Role.PAPER]
    boxes = [(*map(min, zip(*g.points)), *map(max, zip(*g.points))) for g in grounds]  # noqa: B905
    for n, one in enumerate(boxes):
        for other in boxes[n + 1 :]:
            apart = one[2] <= other[0] or other[2] <= one[0]
            assert apart or one[3] <= other[1] + 1e-6 or other[3] <= one[1] + 1e-6


def test_limits_of_loads_are_thick_and_joints_of_panels_thin():
    drawn = loads_picture(shown(), panels(), PAGE)
    assert {x.weight for x in areas(drawn, Role.WATER)} == {Weight.THICK}
    assert {x.weight for x in areas(drawn, Role.PALE)} == {Weight.THIN}
    # 18 loads, two of them in two lanes, and the sign of the key.
    assert len(areas(drawn, Role.WATER)) == 21 and len(areas(drawn, Role.PALE)) == 44


def test_every_second_load_is_hatched():
    drawn = loads_picture(shown(), panels(), PAGE)
    strokes = [x for x in every_item(drawn.items) if isinstance(x, Strokes) and x.lines]
    assert len([x for x in strokes if x.role == Role.PALE]) == 10  # 9 loads, one in two lanes


def test_a_sheet_that_came_off_is_a_hatch_of_its_own_and_said_in_the_key():
    bare = BareMark(("C8", "C9"), "bare 30 min")
    drawn = loads_picture(shown(bare=(bare,)), panels(), PAGE)
    ours = [x for x in every_item(drawn.items) if isinstance(x, Strokes) and x.role == Role.INK]
    assert len(ours) == len(_ink(loads_picture(shown(), panels(), PAGE))) + 2  # panels and key
    assert "cover off: C8, C9 bare 30 min" in " ".join(drawn.texts)
    assert "C8, C9: bare 30 min." in drawn.desc


def _ink(drawn):
    return [x for x in every_item(drawn.items) if isinstance(x, Strokes) and x.role == Role.INK]


def test_the_zone_of_plow_and_salt_is_dashed_where_its_panels_lie():
    drawn = loads_picture(shown(winter=in_zone()), panels(), PAGE)
    dashed = [x for x in areas(drawn, Role.SIGNAL) if x.dash_mm]
    assert len(dashed) == 2  # B11 to C11 and D7 to D11 hang together; the other is in the key
    assert "plow or salt zone" in " ".join(drawn.texts)
    assert not areas(loads_picture(shown(), panels(), PAGE), Role.SIGNAL)


def test_each_panel_tells_its_loads_to_whoever_hears_the_picture():
    drawn = loads_picture(shown(), panels(), PAGE)
    titles = {item.title for item in drawn.items if isinstance(item, Group)}
    assert "C11, 9 (100%), 44 % raveled" in titles
    assert "C7, 7 (79%)+8 (21%), 28 % raveled" in titles


def test_page_and_paper_say_the_same_words():
    drawn = loads_picture(shown(winter=in_zone()), panels(), PAPER)
    assert words("".join(svg_texts(drawn))) == words(pdf_text(drawn))


def test_a_page_is_no_higher_than_it_needs():
    whole = loads_picture(shown(), panels(), (110.0, 400.0))
    assert loads_picture(shown(), panels(), (110.0, 400.0), is_trimmed=True).height_mm < (
        whole.height_mm
    )


def test_a_long_low_lot_is_laid_on_its_side():
    drawn = loads_picture(replace(shown(), raveled={}), panels(), (190.0, 80.0))
    assert drawn.height_mm == 80.0 and len(areas(drawn, Role.WATER)) == 21


def test_nothing_is_drawn_without_panels():
    with pytest.raises(DrawingError, match="no panel"):
        loads_picture(shown(), (), PAGE)


def test_the_hatch_of_a_load_is_none_of_the_hatches_of_states_and_defects():
    square = ((0.0, 0.0), (20.0, 0.0), (20.0, 20.0), (0.0, 20.0))
    ours = {hatched(square, hatch).lines for hatch in (Hatch.LOAD, Hatch.BARE)}
    others = {hatched(square, h).lines for h in Hatch if h not in (Hatch.LOAD, Hatch.BARE)}
    assert len(ours) == 2 and not ours & others
