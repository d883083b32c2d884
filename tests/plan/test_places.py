import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from registry.plan import (
    Extent,
    JointPlace,
    PanelLine,
    PanelName,
    PanelPlace,
    PanelRunPlace,
    PlaceError,
    Span,
    SquarePlace,
    StationPlace,
    read_place,
    rounded,
    write_place,
)
from registry.plan.lengths import metres_from
from registry.plan.panels import LETTERS
from registry.plan.places import JointMeasure, at
from registry.units import System
from tests.plan.layouts import FT

FEET, METRES = System.INCH_POUND, System.SI

CANONICAL = [
    "C8 · 3.2 R · 8.5 U",
    "D10 · 0-12 R · 2-9 U",
    "C4 whole",
    "D6",
    "C8a · 1.0 R · 2.25 U",
    "A3, from R 0.0 U 5.8 to R 11.5 U 6.1",
    "A3, from R 0.0 U 5.8 to R 4.0 U 6.0 to R 11.5 U 6.1",
    "C8|B8 U 1.0-10.0",
    "C8|B8 U 4.5",
    "C8|B8",
    "C8|C9 R 4.0-9.0",
    "A1-A5",
    "A1-A5, R 11.0-12.0",
    "A1-B5, U 0.0-3.0",
    "1+42.5 L 3.0",
    "0+30 L 2.0",
    "0+05 R 0.0",
    "1+10 to 1+17, R 36-48",
    "2+05 to 2+25, L 0-3",
    "2+05 to 2+25, L 2 to R 3.5",
    "2+05 to 2+25",
    "from 1+10 L 3.0 to 1+17.5 R 2.0",
    "g(2,1)",
    "g(2,1)-g(2,6)",
    "g(2,1) · 3.2 R · 8.5 U",
]


@pytest.mark.parametrize("system", [FEET, METRES])
@pytest.mark.parametrize("text", CANONICAL)
def test_written_place_reads_and_writes_the_same(text, system):
    place = read_place(text, system)
    again = write_place(place, system)
    assert read_place(again, system) == place
    if system == FEET:
        assert again == text


@pytest.mark.parametrize(
    ("text", "canonical"),
    [
        ("A2, R 5.0 U 7.5", "A2 · 5.0 R · 7.5 U"),
        ("a2 u7.5 r5", "A2 · 5.0 R · 7.5 U"),
        ("A2 5,0 R; 7,5 U", "A2 · 5.0 R · 7.5 U"),
        ("D10, R 0-12 U 2-9", "D10 · 0-12 R · 2-9 U"),
        ("D10 R 0–12 U 2 to 9", "D10 · 0-12 R · 2-9 U"),
        ("C4, whole panel", "C4 whole"),
        ("C8 / C9 joint, R 4-9", "C8|C9 R 4.0-9.0"),
        ("A3, from R 0 U 5.8 to R 11.5 U 6.1", "A3, from R 0.0 U 5.8 to R 11.5 U 6.1"),
        ("1+42,5 l 3", "1+42.5 L 3.0"),
        ("1+10 to 1+17 R 36-48", "1+10 to 1+17, R 36-48"),
        ("g (2, 1)", "g(2,1)"),
    ],
)
def test_habits_of_crews_read_as_one_form(text, canonical):
    assert write_place(read_place(text, FEET), FEET) == canonical


def test_feet_and_metres_are_different_places():
    assert read_place("C8 · 3.2 R · 8.5 U", FEET).right == at(3.2 * FT)
    assert read_place("C8 · 3.2 R · 8.5 U", METRES).right == at(3.2)
    assert write_place(read_place("0+42.5 L 1", METRES), METRES) == "0+42.5 L 1.00"


def test_left_is_negative_and_right_is_positive():
    assert read_place("1+42.5 L 3.0", FEET) == StationPlace(at(142.5 * FT), at(-3 * FT))
    assert read_place("2+05 to 2+25, L 0-3", FEET).offset == Span(-3 * FT, 0.0)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "No place"),
        ("near the light pole", "cannot be read as a place"),
        ("I4 · 1 R · 1 U", "read as 1 and 0"),
        ("O4", "read as 1 and 0"),
        ("C8 · 3.2 R · 4 R", "R twice"),
        ("C8 · 9-2 R · 1 U", "smaller measure first"),
        ("C8 left side", "cannot be read; write R and U"),
        ("1+142 L 3", "less than 100"),
        ("1+42 U 3", "L or R"),
        ("C8|C8 U 1", "between two panels"),
        ("C8|B8 R 1 U 2", "one measure"),
        ("A5-A1", "home side"),
        ("g(0,1)", "g\\(1,1\\)"),
        ("g(2,1) R 3", "both R and U"),
        ("A3, from R 0 to R 11", "is not a line"),
        ("C8 · 3-3 R · 1 U", "not a range"),
        ("1+20 to 1+10, L 0-3", "smaller measure first"),
    ],
)
def test_what_cannot_be_read_is_refused_in_plain_words(text, message):
    with pytest.raises(PlaceError, match=message):
        read_place(text, FEET)


systems = st.sampled_from([FEET, METRES])
hundredths = st.integers(0, 9_999).map(lambda whole: whole / 100)
names = st.builds(
    PanelName,
    st.sampled_from(LETTERS),
    st.integers(1, 99),
    st.sampled_from(["", "a", "b", "ab"]),
)


def spans(values, system, *, point=None):
    def build(pair):
        low, high = sorted(pair)
        return Span(metres_from(low, system), metres_from(high, system))

    points = values.map(lambda value: at(metres_from(value, system)))
    ranges = st.tuples(values, values).filter(lambda pair: pair[0] != pair[1]).map(build)
    return points if point else st.one_of(points, ranges)


@st.composite
def places(draw, system):
    span = spans(hundredths, system)
    metre = hundredths.map(lambda value: metres_from(value, system))
    kind = draw(st.integers(0, 6))
    if kind == 0:
        return PanelPlace(draw(names), draw(span), draw(span))
    if kind == 1:
        return PanelPlace(
            draw(names), extent=draw(st.sampled_from([Extent.WHOLE, Extent.SOMEWHERE]))
        )
    if kind == 2:
        pair = st.tuples(metre, metre)
        return PanelLine(draw(names), tuple(draw(st.lists(pair, min_size=2, max_size=4))))
    if kind == 3:
        first, second = draw(st.lists(names, min_size=2, max_size=2, unique=True))
        return JointPlace(first, second, draw(st.sampled_from(list(JointMeasure))), draw(span))
    if kind == 4:
        side = draw(st.sampled_from([1, -1]))
        offset = draw(span)
        ends = sorted((side * offset.start_m + 0.0, side * offset.stop_m + 0.0))
        stations = st.integers(0, 99_999).map(lambda whole: whole / 100)
        return StationPlace(draw(spans(stations, system)), Span(*ends))
    if kind == 5:
        first = PanelName("B", draw(st.integers(1, 9)))
        last = PanelName(draw(st.sampled_from("CDE")), draw(st.integers(9, 20)))
        return PanelRunPlace(first, last, draw(span))
    return SquarePlace(draw(st.integers(1, 40)), draw(st.integers(1, 40)))


@settings(max_examples=1500, deadline=None)
@given(data=st.data(), system=systems)
def test_any_place_to_the_hundredth_comes_back_from_its_text(data, system):
    place = data.draw(places(system))
    assert read_place(write_place(place, system), system) == place


def test_dragged_place_is_rounded_to_what_a_tape_gives():
    place = PanelPlace(PanelName("C", 8), at(0.9753), at(2.5891))
    assert write_place(rounded(place, FEET), FEET) == "C8 · 3.2 R · 8.5 U"
    assert write_place(rounded(place, METRES), METRES) == "C8 · 0.98 R · 2.59 U"
