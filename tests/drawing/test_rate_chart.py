import itertools
import math
from datetime import date, timedelta

import pytest

from registry.drawing import (
    ActionLevel,
    CleaningMark,
    DrawingError,
    Future,
    Group,
    Mark,
    Polyline,
    RateKind,
    RatePoint,
    RateSeries,
    Symbol,
    Text,
    Weight,
    rate_chart,
)
from registry.drawing.chart_data import DeclineBand
from registry.drawing.lettering import text_height_mm, text_width_mm
from registry.drawing.primitives import Anchor, Circle, Line, every_item
from registry.drawing.scales import DayScale, LogScale, day_range, log_range
from registry.units import System
from tests.drawing.pictures import (
    BAND,
    CLEANINGS,
    FEET,
    FUTURE,
    IN_H,
    LEVELS,
    SERIES,
    TODAY,
)


def chart(series=SERIES, cleanings=CLEANINGS, levels=LEVELS, **changes):
    options = {"size_mm": (182, 100), "system": FEET, "today": TODAY} | changes
    return rate_chart(series, cleanings, levels, **options)


def marks(drawing, symbol, size=2.6):
    """Marks of readings: the first after the legend's own."""
    return [
        item
        for group in drawing.items
        if isinstance(group, Group)
        for item in group.items
        if isinstance(item, Mark) and item.symbol == symbol
    ]


def test_equal_ratios_are_equal_heights():
    series = (
        RateSeries(
            "U", tuple(RatePoint(date(2020 + nth, 1, 1), 10.0**nth * IN_H) for nth in range(4))
        ),
    )
    heights = [mark.at[1] for mark in marks(chart(series, (), ()), Symbol.DISC)]
    steps = [before - after for before, after in itertools.pairwise(heights)]
    assert steps[0] > 0
    assert steps == pytest.approx([steps[0]] * 3)


def test_bounds_are_arrows_and_looked_at_tests_are_hollow():
    drawing = chart()
    assert len(marks(drawing, Symbol.BELOW)) == 1
    assert len(marks(drawing, Symbol.ABOVE)) == 1
    below, above = marks(drawing, Symbol.BELOW)[0], marks(drawing, Symbol.ABOVE)[0]
    discs, squares = marks(drawing, Symbol.DISC), marks(drawing, Symbol.SQUARE)
    assert below.at[1] > next(disc.at[1] for disc in discs if disc.at[0] == below.at[0])
    assert above.at[1] < next(mark.at[1] for mark in squares if mark.at[0] == above.at[0])
    assert [mark.hollow for mark in squares] == [False, True, False, False]
    texts = drawing.texts
    assert {"less than: stopped", "more than: too fast", "hollow: not for trend"} <= set(texts)


def test_legend_names_only_what_is_there():
    series = (RateSeries("U", (RatePoint(date(2024, 5, 1), 100.0),)),)
    texts = set(chart(series, (), ()).texts)
    assert "spot U" in texts
    assert not {"less than: stopped", "hollow: not for trend", "cleaning"} & texts


def test_each_reading_is_read_out_with_its_sign():
    titles = {item.title for item in every_item(chart().items) if isinstance(item, Group)}
    assert "U, 2023-05-16: < 3.9 in/h" in titles
    assert "W, 2023-06-20: > 900 in/h" in titles
    assert "W, 2022-05-17: 75 in/h, looked at, not for trend" in titles


def test_trend_line_stops_at_bounds_and_restorative_cleanings():
    runs = [
        item.points
        for item in chart().items
        if isinstance(item, Polyline) and item.weight == Weight.HAIR and len(item.points) < 4
    ]
    # U: 2021-2022, then a bound, then 2023-2024; W: across the looked-at test to 2023.
    assert [len(run) for run in runs] == [2, 2, 2]
    cleaned = chart(
        (RateSeries("U", (RatePoint(date(2022, 1, 1), 50.0), RatePoint(date(2024, 1, 1), 400.0))),),
        (CleaningMark(date(2023, 1, 1), "wash and vacuum", restores=True),),
    )
    assert not [
        item
        for item in cleaned.items
        if isinstance(item, Polyline) and item.weight == Weight.HAIR and len(item.points) == 2
    ]


def test_action_level_is_stepped_and_each_step_says_from_when():
    texts = chart().texts
    assert "action level 12.5 in/h from 2021-01-01" in texts
    assert "action level 21.0 in/h from 2024-01-01" in texts
    lines = [
        item
        for item in every_item(chart().items)
        if isinstance(item, Polyline) and item.weight == Weight.THICK
    ]
    first, second = lines
    assert first.points[-1] == second.points[0]  # the step itself


def test_near_cleanings_share_one_word():
    cleanings = tuple(CleaningMark(date(2023, 4, day), "broom") for day in (2, 9, 16))
    assert "3 × broom" in chart(cleanings=cleanings).texts


def test_si_chart_is_in_millimetres_an_hour():
    drawing = chart(system=System.SI)
    assert "mm/h" in drawing.texts
    assert "1000" in drawing.texts
    assert "in/h" not in " ".join(drawing.texts)


@pytest.mark.parametrize(
    "series",
    [
        (),
        (RateSeries("U", ()),),
        (RateSeries("U", (RatePoint(date(2026, 5, 1), 1.0e-3),)),),
        (RateSeries("U", (RatePoint(date(2026, 5, 1), 1.0e6, RateKind.ABOVE),)),),
        tuple(
            RateSeries(
                f"R{spot}",
                tuple(RatePoint(date(2000 + nth, 5, 1), 500.0 / (spot + 1)) for nth in range(26)),
            )
            for spot in range(20)
        ),
    ],
)
@pytest.mark.parametrize("levels", [(), LEVELS])
def test_no_point_one_point_and_many_points_are_drawn_on_the_paper(series, levels):
    drawing = chart(series, levels=levels, size_mm=(182, 140))
    for item in every_item(drawing.items):
        if isinstance(item, Mark | Text):
            assert 0 <= item.at[0] <= 182
            assert 0 <= item.at[1] <= 140.5


def test_empty_chart_says_so():
    assert "No infiltration test with a rate yet." in chart(()).texts


def test_decline_band_and_the_day_of_crossing():
    drawing = chart(band=BAND, future=FUTURE)
    texts = drawing.texts
    assert "meets the action level 2028-10-03" in texts
    assert "fitted decline, 80 % band" in texts
    assert "thin: each spot" in texts


def test_crossing_without_an_action_level_that_day_has_no_ring_and_the_rest_is_drawn():
    drawing = chart(levels=LEVELS[:1], future=FUTURE)
    assert not any("2028-10-03" in text for text in drawing.texts)
    assert "thin: each spot" in drawing.texts


def crowd(spots):
    return tuple(
        RateSeries(
            f"S{nth}",
            tuple(
                RatePoint(date(2020 + year, 5, 1), (300.0 + 3 * nth) * IN_H / (1 + year))
                for year in range(4)
            ),
        )
        for nth in range(spots)
    )


def test_names_of_very_many_spots_leave_the_chart_its_room():
    drawing = chart(crowd(150))
    told = " ".join(drawing.texts)
    assert "150 spots, each named at its newest reading where there is room" in told
    assert "spot S7" not in told
    points = [i for i in drawing.items if isinstance(i, Group) and "tests" not in i.title]
    assert sum(f"S{nth}, 2023-05-01" in str(p.title) for p in points for nth in (0, 149)) == 2
    named = {text for text in drawing.texts if text.startswith("S") and text[1:].isdigit()}
    assert 0 < len(named) < 150


def test_legend_names_each_spot_while_there_is_room():
    told = " ".join(chart(crowd(12)).texts)
    assert all(f"spot S{nth}" in told for nth in range(12))


def test_words_do_not_lie_on_each_other():
    for drawing in (chart(), chart(size_mm=(100, 110)), chart(band=BAND, future=FUTURE)):
        names = [
            item
            for item in drawing.items
            if isinstance(item, Text) and item.bold and item.text in ("U", "W")
        ]
        assert len(names) == 2
        assert abs(names[0].at[1] - names[1].at[1]) > 2 or abs(names[0].at[0] - names[1].at[0]) > 3


def test_rate_of_nothing_cannot_stand_on_a_log_scale():
    with pytest.raises(DrawingError, match="2024-05-01"):
        RatePoint(date(2024, 5, 1), 0.0)
    with pytest.raises(DrawingError, match="action level"):
        ActionLevel(-1.0)


def test_band_that_misses_its_middle_is_refused():
    with pytest.raises(DrawingError, match="middle"):
        DeclineBand((TODAY, date(2027, 1, 1)), (5.0, 4.0), (1.0, 4.5), (9.0, 9.0))


def test_chart_without_room_is_refused():
    with pytest.raises(DrawingError, match="no room"):
        chart(size_mm=(40, 30))


def test_log_scale_ends_are_round_and_a_decade_apart():
    assert log_range([3.9, 700.0]) == (2.0, 1000.0)
    low, high = log_range([50.0])
    assert low < 50 < high
    assert high / low >= 10
    scale = LogScale(1.0, 100.0, 10.0, 110.0)
    assert [scale.at(value) for value in (1, 10, 100)] == pytest.approx([110, 60, 10])
    assert scale.ticks(4.0) == pytest.approx([1, 2, 5, 10, 20, 50, 100])
    assert scale.ticks(20.0) == pytest.approx([1, 10, 100])


def test_day_scale_has_years_or_months():
    first, last = day_range([date(2021, 5, 18), date(2026, 7, 1)])
    assert first < date(2021, 5, 18) and date(2026, 7, 1) < last
    years = [text for _, text in DayScale(first, last, 0, 150).ticks(10)]
    assert years == ["2022", "2023", "2024", "2025", "2026"]
    months = DayScale(date(2026, 1, 15), date(2026, 7, 15), 0, 150).ticks(16)
    assert [text for _, text in months] == [f"2026-0{month}" for month in range(2, 8)]


def test_crossing_words_can_say_something_else():
    future = Future(crossing_on=date(2027, 3, 4), crossing_words="sweep by 2027-03",
                    crossing_means="chance below reaches 10 %")  # fmt: skip
    told = chart(future=future).texts
    assert "sweep by 2027-03" in told
    assert "chance below reaches 10 %" in told


def test_no_name_lies_on_the_ring_of_the_day_and_no_line_runs_through_one():
    """A reading at the action level of today: its name stood under the ring and today's line."""
    lowest = RateSeries("A1 edge", (RatePoint(TODAY - timedelta(days=30), 18 * IN_H),))
    level = (ActionLevel(18 * IN_H, date(2021, 1, 1)),)
    future = Future(crossing_on=TODAY, crossing_words="sweep by today")
    drawing = chart([lowest], (), level, future=future)
    ring = next(circle for circle in every_item(drawing.items) if isinstance(circle, Circle))
    name = next(t for t in every_item(drawing.items) if isinstance(t, Text) and t.text == "A1 edge")
    wide = text_width_mm(name.text, bold=True)
    left = name.at[0] - {Anchor.START: 0, Anchor.MIDDLE: wide / 2, Anchor.END: wide}[name.anchor]
    top = name.at[1] - text_height_mm()
    x, y = ring.centre
    nearest = (min(max(x, left), left + wide), min(max(y, top), name.at[1]))
    assert math.dist((x, y), nearest) >= ring.radius_mm
    order = list(every_item(drawing.items))
    todays = next(n for n, one in enumerate(order) if isinstance(one, Line)
                  and one.start[0] == one.end[0] == x and one.dash_mm == (3.0, 1.0))  # fmt: skip
    assert todays < order.index(name)
