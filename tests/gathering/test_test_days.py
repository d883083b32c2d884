"""Days of tests summed up by stratum, against worked values."""

from datetime import date

import pytest

from registry.gathering.demand import demand_rows
from registry.gathering.test_days import test_days as days_of
from tests import factories

DAY = date(2026, 5, 12)


def put_spots(pavement, rates_in_h, *, stratum="field", on=DAY, sign=""):
    for n, value in enumerate(rates_in_h):
        spot = factories.SpotFactory(pavement=pavement, name=f"{stratum}{n}", stratum=stratum)
        factories.InfiltrationTestFactory(
            pavement=pavement,
            spot=spot,
            started_on=on,
            stratum=stratum,
            result_value=value,
            result_constant=126870.0,
            result_rate_mm_h=value * 25.4,
            result_sign=sign,
            use="bound" if sign else "trend",
        )


def summed(pavement):
    rows = pavement.infiltration_tests.select_related("spot")
    return days_of(pavement, rows, demand_rows(pavement))


@pytest.fixture
def pavement(db):
    row = factories.PavementFactory(area_m2=535.12)
    factories.CriteriaFactory(pavement=row)
    return row


def test_geometric_mean_and_interval_equal_the_worked_example(pavement):
    # 100, 200, 400, 800 in/h: geometric mean 282.843, 95 % 68.10 to 1174.73; hand-worked
    put_spots(pavement, [100, 200, 400, 800])
    sure = summed(pavement)[0].certainty
    assert sure.geometric_mean / 25.4 == pytest.approx(282.843, rel=1e-5)
    assert (sure.low / 25.4, sure.high / 25.4) == pytest.approx((68.10, 1174.73), rel=1e-4)


def test_area_weighted_mean_stands_with_the_lowest(pavement):
    # E 1440 ft2 mean 60, T 1440 mean 240, S 2880 mean 480: 315 in/h; worked row of N4
    for kind, area, rate in (
        ("run_on_edge", 1440, 60),
        ("wheel_path", 1440, 240),
        ("field", 2880, 480),
    ):
        pavement.strata.create(kind=kind, area_m2=area * 0.09290304)
        put_spots(pavement, [rate], stratum=kind)
    summary = summed(pavement)[0].summary
    assert summary.mean_mm_h / 25.4 == pytest.approx(315)
    assert summary.lowest.mm_h / 25.4 == pytest.approx(60)


def test_bound_among_the_values_withholds_every_mean(pavement):
    put_spots(pavement, [100, 200, 400])
    put_spots(pavement, [3.9], stratum="run_on_edge", sign="<")
    day = summed(pavement)[0]
    assert day.summary.mean_mm_h is None
    assert "bound" in day.summary.reason
    assert "bound" in day.certainty.reason
    assert (day.summary.lowest.sign, day.share.below) == ("<", 1)


def test_three_dry_spots_above_the_level_leave_54_percent_possible(pavement):
    # 0 of 3 below: up to 54 % (exact binomial, Clopper and Pearson 1934)
    put_spots(pavement, [150, 200, 300])
    assert summed(pavement)[0].share.upper_90 == pytest.approx(0.54, abs=0.005)


def test_too_few_spots_are_said_with_the_rule_that_counted(pavement):
    put_spots(pavement, [150, 200])
    day = summed(pavement)[0]
    assert (day.required_count, day.is_short, day.counted_in) == (3, True, "inch_pound")


def test_case_57_each_test_is_judged_by_the_level_of_its_day(pavement):
    criteria = pavement.criteria.get()
    criteria.to_on = date(2025, 8, 29)
    criteria.action_rate_mm_h = 21.0 * 25.4
    criteria.save(update_fields=["to_on", "action_rate_mm_h"])
    factories.CriteriaFactory(
        pavement=pavement, from_on=date(2025, 8, 29), action_rate_mm_h=18.6 * 25.4
    )
    put_spots(pavement, [20], on=date(2025, 5, 20))
    put_spots(pavement, [20], on=date(2026, 5, 20), stratum="wheel_path")
    new, old = summed(pavement)
    assert (old.share.below, new.share.below) == (1, 0)


def test_case_59_no_test_gives_no_day_no_mean_and_no_percent(pavement):
    assert summed(pavement) == ()
