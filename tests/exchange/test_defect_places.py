"""Panel, right and up: from cells to a place and back."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from registry.exchange.defect_notes import Marks, read_note, write_note
from registry.exchange.defect_places import PlaceNotRead, cells_of, place_of_text, read_cells
from registry.units import System

FT, SI = System.INCH_POUND, System.SI


def read(*cells: str, said: System | None = FT) -> str:
    return read_cells(*cells, said=said, usual=SI)[0].text


@pytest.mark.parametrize(
    ("cells", "text"),
    [
        (("C8", "3.2", "8.5"), "C8 · 3.2 R · 8.5 U"),
        (("D10", "0-12", "2 to 9"), "D10 · 0-12 R · 2-9 U"),
        (("C8", "3,2", ""), "C8 · 3.2 R"),
        (("C8|B8 U 1-10", "", ""), "C8|B8 U 1-10"),
        (("1+42.5 L 3.0", "", ""), "1+42.5 L 3.0"),
        (("g(2,1)", "3", "4"), "g(2,1) · 3 R · 4 U"),
        (("", "3", "4"), "3 R · 4 U"),
        (("by the gate", "", ""), "by the gate"),
        (("", "", ""), ""),
    ],
)
def test_cells_give_the_place_as_crews_write_it(cells, text):
    assert read(*cells) == text


def test_unit_comes_from_the_cell_then_the_row_then_the_sheets_and_the_last_is_told():
    assert read_cells("C8", "1 m", "2", said=FT, usual=FT)[0].right.start_m == 1.0
    place, is_taken = read_cells("C8", "1", "2", said=FT, usual=SI)
    assert (place.right.start_m, is_taken) == (pytest.approx(0.3048), False)
    place, is_taken = read_cells("C8", "1", "2", said=None, usual=SI)
    assert (place.right.start_m, is_taken) == (1.0, True)
    assert read_cells("1+42.5 (m)", "", "", said=FT, usual=FT)[0].system is SI
    assert read_cells("C8", "", "", said=None, usual=SI)[1] is False
    assert read_cells("C8|B8", "", "", said=None, usual=SI)[1] is False


@pytest.mark.parametrize(
    ("cells", "column"),
    [
        (("C8", "far", "1"), "right"),
        (("C8", "1", "-1"), "up"),
        (("C8", "9-2", "1"), "panel, right, up"),
        (("by the gate", "1", "1"), "panel, right, up"),
        (("C8", "1 ft", "1 m"), "right, up"),
    ],
)
def test_cell_that_cannot_be_read_is_named(cells, column):
    with pytest.raises(PlaceNotRead) as refused:
        read(*cells)
    assert refused.value.column == column


def test_one_place_in_feet_and_in_metres_has_one_key():
    feet = read_cells("C8", "10", "20", said=FT, usual=FT)[0]
    metres = read_cells("C8", "3.048", "6.096", said=SI, usual=SI)[0]
    assert feet.key == metres.key == "C8 · 3.048 R · 6.096 U"


tenths = st.integers(0, 400).map(lambda n: n / 10)
measures = st.one_of(
    st.just(""),
    tenths.map(lambda n: f"{n:g}"),
    st.tuples(tenths, tenths).filter(lambda p: p[0] < p[1]).map(lambda p: f"{p[0]:g}-{p[1]:g}"),
)


@settings(max_examples=400, deadline=None)
@given(
    panel=st.sampled_from(["C8", "A1", "C8a"]), right=measures, up=measures,
    system=st.sampled_from(System), said=st.sampled_from([None, *System]),
)  # fmt: skip
def test_cells_of_a_place_give_the_same_place_again(panel, right, up, system, said):
    place, _ = read_cells(panel, right, up, said=system, usual=system)
    cells = {"right": "", "up": ""} | cells_of(place, said)
    again, is_taken = read_cells(**cells, said=said, usual=SI)
    assert (again.key, is_taken) == (place.key, False)
    assert cells_of(again, said) == cells_of(place, said)
    assert place_of_text(place.in_system(system), system).key == place.key


@pytest.mark.parametrize(
    ("text", "marks"),
    [
        ("", Marks()),
        ("east end", Marks(rest="east end")),
        ("No. 7. Measured by tape. east", Marks("7", "tape", rest="east")),
        ("Measured by outline on the plan.", Marks(method="outline")),
        ("Measured by outline on photo. Place provisional. x", Marks("", "photo", True, "x")),
        ("No. D-104. two\nlines", Marks("D-104", rest="two\nlines")),
        ("Measured by guess. x", Marks(rest="Measured by guess. x")),
        ("No. of stones 4", Marks(rest="No. of stones 4")),
        ("Place provisional. Blade went up. x", Marks("", "", True, "x", "up")),
        ("Blade went slanting.", Marks(direction="slanting")),
        ("Blade went home. x", Marks(rest="Blade went home. x")),
    ],
)
def test_marks_of_a_note_come_off_and_go_on_again(text, marks):
    assert read_note(text, tells_direction=True) == marks
    assert write_note(marks) == text


def test_words_on_a_blade_are_a_remark_at_a_kind_that_has_no_direction():
    text = "No. 7. Blade went up. x"
    assert read_note(text, tells_direction=False) == Marks("7", rest="Blade went up. x")
