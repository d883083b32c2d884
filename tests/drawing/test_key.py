from registry.drawing import Mark, Symbol, Text, key_drawing
from registry.drawing.key import KEY, hatch_of, key_items, numbered
from registry.drawing.primitives import every_item
from registry.drawing.symbols import lines_of


def test_key_has_every_sign_of_the_inspection_sheet():
    texts = set(key_drawing(90).texts)
    assert {
        "raveling", "crack", "sealed", "clogged", "scrape, arrow: its way", "lip", "dip", "stain",
        "ponding", "test spot", "photo, way it looks", "known defect", "not seen: say why",
    } <= texts  # fmt: skip


def test_no_two_signs_are_drawn_alike():
    shapes = [lines_of(Mark((0.0, 0.0), entry.symbol)) for entry in KEY]
    assert len(set(shapes)) == len(shapes)


def test_every_symbol_can_be_drawn():
    for symbol in Symbol:
        assert lines_of(Mark((5.0, 5.0), symbol)), symbol


def test_turned_mark_is_turned_clockwise():
    upward = lines_of(Mark((0, 0), Symbol.ARROW, 2.0))[0].points[-1]
    rightward = lines_of(Mark((0, 0), Symbol.ARROW, 2.0, turn_deg=90))[0].points[-1]
    assert upward[1] < 0 and abs(upward[0]) < 1e-9
    assert rightward[0] > 0 and abs(rightward[1]) < 1e-9


def test_key_takes_no_more_room_than_it_says():
    for width in (60, 90, 182):
        items, height = key_items(0.0, 0.0, width)
        feet = [item.at[1] for item in every_item(items) if isinstance(item, Text)]
        assert max(feet) <= height


def test_areas_of_a_kind_have_the_kinds_hatch():
    assert hatch_of(Symbol.RAVELING) is not None
    assert hatch_of(Symbol.CRACK) is None
    assert hatch_of(Symbol.OTHER) is None


def test_known_defect_is_its_number_in_a_ring():
    ring, number = numbered((5.0, 5.0), 12)
    assert ring.radius_mm > 2
    assert number.text == "12"
