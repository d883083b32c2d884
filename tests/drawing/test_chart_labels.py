"""Words of a rate chart never lie on each other, however many spots and levels there are."""

import itertools
from datetime import date, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from registry.drawing import ActionLevel, CleaningMark, RatePoint, RateSeries, Text, rate_chart
from registry.drawing.labels import Labels
from registry.drawing.lettering import text_height_mm, text_width_mm
from registry.drawing.primitives import Anchor, Area, Line
from registry.units import System
from tests.drawing.pictures import TODAY

START = date(2019, 1, 1)
DAYS = st.integers(0, 2700).map(lambda n: START + timedelta(days=n))
RATES = st.floats(10.0, 20_000.0)


def on_each_other(boxes):
    return [
        (one, other)
        for one, other in itertools.combinations(boxes, 2)
        if min(one[2], other[2]) - max(one[0], other[0]) > 1e-6
        and min(one[3], other[3]) - max(one[1], other[1]) > 1e-6
    ]


def boxes_of_words(drawing):
    """The grounds of paper under the words inside the plot, each just before its text."""
    found = []
    for ground, words in itertools.pairwise(drawing.items):
        if isinstance(ground, Area) and isinstance(words, Text) and len(ground.points) == 4:
            (left, top), _, (right, bottom), _ = ground.points
            found.append((left, top, right, bottom))
            half = text_width_mm(words.text, bold=words.bold) / 2
            if words.turn_deg:
                assert bottom - top >= 2 * half
            else:
                shift = {Anchor.START: 0, Anchor.MIDDLE: half, Anchor.END: 2 * half}[words.anchor]
                assert left <= words.at[0] - shift + 1e-6
                assert words.at[0] - shift + 2 * half <= right + 1e-6
                assert bottom - top >= text_height_mm()
    return found


@st.composite
def spots(draw):
    """Up to nine spots whose last readings crowd on few days and rates."""
    last = draw(DAYS)
    rate = draw(RATES)
    names = [f"R{n}" if n % 2 else f"new {n} (B7)" for n in range(draw(st.integers(1, 9)))]
    near = st.tuples(st.integers(0, 60), st.floats(0.8, 1.25))
    return [
        RateSeries(
            name,
            tuple(
                RatePoint(last - timedelta(days=365 * back + ago), rate * share * 1.2**back)
                for back, (ago, share) in enumerate(draw(st.lists(near, min_size=1, max_size=4)))
            ),
        )
        for name in names
    ]


@st.composite
def levels(draw):
    """Up to four dated action levels, one after the other."""
    days = sorted(draw(st.sets(DAYS, min_size=1, max_size=4)))
    ends = [*days[1:], None]
    return [ActionLevel(draw(RATES), day, end) for day, end in zip(days, ends, strict=True)]


@settings(max_examples=60, deadline=None)
@given(spots(), levels(), st.lists(DAYS, max_size=6), st.sampled_from([(120, 110), (180, 92)]))
def test_words_never_lie_on_words(series, dated, swept, size_mm):
    marks = [CleaningMark(day, "wash and vacuum", restores=True) for day in swept]
    drawing = rate_chart(
        series, marks, dated, size_mm=size_mm, system=System.INCH_POUND, today=TODAY
    )
    assert on_each_other(boxes_of_words(drawing)) == []


def test_names_that_crowd_are_pushed_apart_and_led_back():
    labels = Labels((0.0, 0.0, 120.0, 80.0))
    point = (60.0, 40.0)
    drawn = [labels.led(point, f"spot {n}", bold=True) for n in range(20)]
    assert all(drawn), "every name has its place"
    assert on_each_other(labels.words) == []
    led = [items[0] for items in drawn if isinstance(items[0], Line)]
    assert len(led) >= 10
    assert all(line.start == point for line in led)


def test_name_without_any_place_is_left_out():
    labels = Labels((0.0, 0.0, 20.0, 6.0))
    drawn = [labels.led((10.0, 3.0), "spot U") for _ in range(9)]
    assert drawn[-1] == ()
    assert on_each_other(labels.words) == []
