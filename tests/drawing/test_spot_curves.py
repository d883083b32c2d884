"""Curves of spots on the chart of rates: as long as they may be, drawn by few points."""

import math
from datetime import timedelta

from shapely import LineString, Point

from registry.drawing import Future, SpotLine, rate_chart
from tests.drawing.pictures import CLEANINGS, FEET, IN_H, LEVELS, SERIES, TODAY


def test_curve_of_a_spot_leaves_out_only_points_that_nobody_could_see():
    days = tuple(TODAY + timedelta(days=10 * n) for n in range(700))
    rates = tuple(1000 * math.exp(-n / 300) * (1 + (n // 100) / 9) * IN_H / 25 for n in range(700))
    future = Future((SpotLine("U", days, rates),))
    drawing = rate_chart(
        SERIES, CLEANINGS, LEVELS, size_mm=(182, 100), system=FEET, today=TODAY, future=future
    )
    group = next(
        item for item in drawing.items if getattr(item, "title", "") == "U, curve of this spot"
    )
    (line,) = group.items
    assert len(line.points) == 14  # the ends of seven runs, straight on the log scale
    # By the formulas of the two axes: the ends are drawn where they lie, all else on the line.
    first, last = line.points[0], line.points[-1]
    high, low = rates[0], rates[-1]
    per_log = (last[1] - first[1]) / math.log(high / low)
    drawn = LineString(line.points)
    for n, rate in enumerate(rates):
        x = first[0] + (last[0] - first[0]) * n / (len(rates) - 1)
        assert drawn.distance(Point(x, first[1] + per_log * math.log(high / rate))) < 0.011
