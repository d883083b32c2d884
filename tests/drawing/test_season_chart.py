"""The picture of a season: two lines, bars of crew-days, everything within the paper."""

from datetime import date

import pytest

from registry.drawing.lettering import text_width_mm
from registry.drawing.primitives import (
    Anchor,
    Area,
    DrawingError,
    Group,
    Line,
    Mark,
    Polyline,
    Text,
)
from registry.drawing.season_chart import MonthRisk, season_chart

SIZE = (170.0, 95.0)


def points_of(items):
    """Yield the ends of everything drawn, mm."""
    for item in items:
        if isinstance(item, Group):
            yield from points_of(item.items)
        elif isinstance(item, Line):
            yield from (item.start, item.end)
        elif isinstance(item, Polyline | Area):
            yield from item.points
        elif isinstance(item, Mark):
            half = item.size_mm / 2
            yield from ((item.at[0] - half, item.at[1] - half), (item.at[0] + half, item.at[1]))
        elif isinstance(item, Text):
            share = {Anchor.START: 0.0, Anchor.MIDDLE: 0.5, Anchor.END: 1.0}[item.anchor]
            left = item.at[0] - share * text_width_mm(item.text, item.size_pt)
            yield from ((left, item.at[1]), (left + text_width_mm(item.text), item.at[1]))


def months(count=6):
    return [
        MonthRisk(date(2026 + n // 12, n % 12 + 1, 1), 3.0 + 0.4 * n, 3.0 - 0.1 * n, n % 3)
        for n in range(count)
    ]


def test_picture_tells_all_figures_to_those_who_do_not_see():
    drawing = season_chart(months(2), size_mm=SIZE)
    assert drawing.desc == (
        "2026-01: 3.00 without the plan, 3.00 with it, 0 crew-days; "
        "2026-02: 3.40 without the plan, 2.90 with it, 1 crew-day"
    )


def test_lines_differ_by_more_than_colour():
    lines = [i for i in season_chart(months(), size_mm=SIZE).items if isinstance(i, Polyline)]
    assert len(lines) == 2 and {bool(line.dash_mm) for line in lines} == {True, False}


def test_higher_number_stands_higher():
    lines = [i for i in season_chart(months(), size_mm=SIZE).items if isinstance(i, Polyline)]
    without = next(line for line in lines if line.dash_mm)
    with_plan = next(line for line in lines if not line.dash_mm)
    assert without.points[-1][1] < without.points[0][1] < with_plan.points[-1][1]


@pytest.mark.parametrize("count", [3, 6, 12])
def test_everything_lies_on_the_paper(count):
    for x, y in points_of(season_chart(months(count), size_mm=SIZE).items):
        assert -0.01 <= x <= SIZE[0] + 0.01 and -0.01 <= y <= SIZE[1] + 0.01


def test_names_of_twelve_months_do_not_run_into_each_other():
    words = [i for i in season_chart(months(12), size_mm=SIZE).items if isinstance(i, Text)]
    names = [w for w in words if len(w.text) == 7 and w.text[4] == "-"]
    assert len(names) == 6


def test_no_month_and_no_room_are_refused_in_words():
    with pytest.raises(DrawingError, match="no month"):
        season_chart([], size_mm=SIZE)
    with pytest.raises(DrawingError, match="no room"):
        season_chart(months(), size_mm=(30.0, 40.0))
