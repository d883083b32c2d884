"""A chart of many runs is thinned without hiding what is low."""

from datetime import date, timedelta

from registry.gathering.chart import NEWEST, ChartRows, thinned
from registry.models import InfiltrationTest

FIRST = date(2015, 1, 1)


def runs(count):
    return [
        InfiltrationTest(
            pk=n,
            spot_id=n % 2,
            started_on=FIRST + timedelta(days=n),
            result_rate_mm_h=1000.0 + n * 37 % 501,
            use="trend",
        )
        for n in range(1, count + 1)
    ]


def not_drawn(rows):
    return ChartRows(rows, (), None).not_drawn


def test_few_runs_are_all_drawn():
    rows = runs(NEWEST)
    assert {t.pk for t in thinned(rows)} == {t.pk for t in rows}
    assert not_drawn(rows) == 0


def test_lowest_of_each_spot_and_year_and_each_bound_stay():
    rows = runs(NEWEST + 1000)
    rows[10].result_rate_mm_h = 3.0
    rows[20].result_sign, rows[20].result_rate_mm_h = "<", 40.0
    rows[30].result_sign, rows[30].result_rate_mm_h = ">", 90_000.0
    rows[40].void_at, rows[40].void_why = FIRST, "wrong spot"
    kept = thinned(rows)
    assert {rows[10].pk, rows[20].pk, rows[30].pk} <= {t.pk for t in kept}
    assert {t.pk for t in rows[-NEWEST:]} <= {t.pk for t in kept}
    assert rows[40] not in kept
    for year in (2015, 2016, 2017):
        for spot in (0, 1):
            mine = [t for t in rows if (t.started_on.year, t.spot_id) == (year, spot)]
            low = min(t.result_rate_mm_h for t in mine)
            assert low in {t.result_rate_mm_h for t in kept if t in mine}
    assert not_drawn(rows) == len(rows) - 1 - len(kept) > 900
