"""The dispute of the demonstration from rows: figures by load, shares, tau, groups, as printed."""

import pytest

from registry.gathering.load_pattern import (
    changes_of,
    factor_rows,
    late_groups,
    looks_of,
    neighbours,
    pattern_of,
    placed_loads,
)
from registry.models import Load, PlacingDay
from registry.placing.faults import NotGiven
from registry.units import Kind, System, from_si
from tests.placing_rows import north_lot, table

pytestmark = pytest.mark.django_db
FT2 = 0.3048**2


def laid(pavement):
    days = PlacingDay.objects.filter(pavement=pavement).in_order()
    return placed_loads(pavement, list(days))[0]


@pytest.fixture
def placed(db):
    return laid(north_lot())


@pytest.fixture
def looks(placed):
    pavement = placed.days[0].pavement
    return looks_of(placed.shares, pavement.raveled_shares.standing())


def test_lags_water_and_evaporation_of_every_load_are_those_of_its_table(placed):
    for row in table("1C_loads.csv"):
        found = placed.figures[row["load"]]
        assert found.wait_min == float(row["min batch to discharge"]), row["load"]
        assert found.lag_min == float(row["longest min discharge to cover"]), row["load"]
        assert f"{found.water.value:.3f}" == row["w/cm"], row["load"]
        assert f"{found.drying.value:.3f}" == row["evaporation lb/ft²/h"], row["load"]
        assert found.density.is_inside, row["load"]  # so it proves nothing about covering


def test_load_over_the_limit_of_water_is_told_and_no_other(placed):
    assert [name for name, found in placed.figures.items() if found.is_over_water] == ["13"]


def test_shares_of_every_panel_are_those_of_its_table(placed):
    for row in table("1D_panels.csv"):
        said = placed.shares.words_of(row["panel"])
        assert said.replace("+", ", ").replace(" ", "") == row["loads (share of panel)"].replace(
            "+", ", "
        ).replace(" ", ""), row["panel"]


def test_raveling_of_every_load_is_that_of_its_table(placed, looks):
    change = changes_of(looks[0], looks[1])
    for row in table("1E_by_load.csv"):
        name = row["load"]
        assert f"{100 * looks[0].by_load[name]:.1f}" == row["raveled % at 6 weeks"], name
        assert f"{100 * change[name]:+.1f}" == row["change over first winter, points"], name
        area = placed.shares.area_of(name) / FT2
        assert f"{area:.0f}" == row["area ft²"], name


def test_tau_of_each_factor_is_the_one_printed(placed, looks):
    """Values printed with the dispute: lag 0.69, wait 0.48, evaporation 0.60, w/cm 0.02."""
    found = pattern_of(placed, looks[0].by_load)
    lines = {line.factor.code: line for line in found.lines}
    told = {code: round(lines[code].tau, 2) for code in ("lag", "wait", "evaporation", "water")}
    assert told == {"lag": 0.69, "wait": 0.48, "evaporation": 0.60, "water": 0.02}
    assert lines["lag"].p < 0.001 and lines["lag"].n == 18
    assert "6 factors tried" in found.tried_words


def test_tau_agrees_with_scipy(placed, looks):
    """scipy.stats.kendalltau is the reference, on the same rounded values."""
    stats = pytest.importorskip("scipy.stats")
    rows = factor_rows(placed, looks[0].by_load)
    found = pattern_of(placed, looks[0].by_load)
    lag = [round(row.factors["lag"]) for row in rows]
    share = [round(row.outcome, 3) for row in rows]
    tau = next(line.tau for line in found.lines if line.factor.code == "lag")
    assert tau == pytest.approx(stats.kendalltau(lag, share).statistic, abs=1e-12)


def test_heat_lag_and_evaporation_are_told_to_be_inseparable(placed, looks):
    pairs = {
        (pair.one.code, pair.other.code) for pair in pattern_of(placed, looks[0].by_load).together
    }
    assert {("lag", "evaporation"), ("lag", "air"), ("evaporation", "air")} <= pairs


def test_loads_seven_to_nine_stand_against_the_rest_as_printed(placed, looks):
    """Printed: 30 % of 972 square feet; the other fifteen 1.2 %."""
    group = late_groups(placed, looks[0])[0]
    assert group.late == ("7", "8", "9") and group.rule.words == "25 min"
    found = group.compared
    assert f"{100 * found.group.mean:.0f}" == "30"
    assert f"{found.group.area_m2 / FT2:.0f}" == "972"
    assert f"{100 * found.rest.mean:.1f}" == "1.2" and len(found.rest.names) == 15


def test_limit_of_the_contract_makes_load_six_late_too(placed, looks):
    _, group = late_groups(placed, looks[0])
    assert group.late == ("6", "7", "8", "9")
    assert group.rule.words == "20 min" and "placing day" in group.rule.source


def test_load_without_a_time_of_cover_is_neither_late_nor_of_the_rest(placed, looks):
    Load.objects.filter(number="9").update(cover_last_at=None)
    group = late_groups(laid(placed.days[0].pavement), looks[0])[0]
    assert group.late == ("7", "8") and group.compared.left_out == ("9",)


def test_least_water_of_a_load_is_not_compared_as_if_it_were_all(placed, looks):
    Load.objects.filter(number__in=("3", "4")).update(free_moisture_kg=None)
    found = pattern_of(laid(placed.days[0].pavement), looks[0].by_load)
    line = next(line for line in found.lines if line.factor.code == "water")
    assert line.n == 16 and line.bounds == ("3", "4")
    assert "2 loads left out (3, 4): of w/cm only a least number is known." in line.words
    assert next(line for line in found.lines if line.factor.code == "lag").n == 18


def test_neighbours_of_different_loads_stand_side_by_side(placed, looks):
    first = neighbours(placed, looks[0])[0]
    assert (first.panel, first.beside) == ("C10", "D10")
    assert (first.raveled, first.beside_raveled) == (0.42, 0.0)


def test_fewer_than_eight_loads_give_no_p(placed, looks):
    some = {name: share for name, share in looks[0].by_load.items() if int(name) <= 7}
    found = pattern_of(placed, some)
    assert {line.tau for line in found.lines} == {None}
    assert "of at least 8 loads" in found.lines[0].reason


def test_two_ways_of_grading_stand_side_by_side_and_are_not_compared(placed, looks):
    pavement = placed.days[0].pavement
    pavement.raveled_shares.filter(looked_on="2024-04-18").update(graded_by="eye")
    both = looks_of(placed.shares, pavement.raveled_shares.standing())
    assert [look.graded_by for look in both] == ["tape", "eye", "tape"]
    assert all(isinstance(one, NotGiven) for one in changes_of(both[0], both[1]).values())


def test_load_sent_back_is_laid_nowhere(placed):
    pavement = placed.days[0].pavement
    Load.objects.filter(number="9").update(state="sent_back")
    found = laid(pavement)
    assert "9" not in found.figures
    assert {panel for panel, _ in found.shares.unfilled()} >= {"C11"}


def test_without_limits_nothing_is_laid_over_and_the_page_says_why(placed):
    pavement = placed.days[0].pavement
    for load in Load.objects.all():
        load.spreads.all().delete()
    found = laid(pavement)
    assert found.shares is None and "No limits of loads" in found.trouble


def test_lanes_widths_give_area_and_yield(placed):
    from_table = sum(float(row["yd³"]) for row in table("1C_loads.csv"))
    volume = sum(found.load.volume_m3 for found in placed.figures.values())
    assert from_si(volume, Kind.VOLUME, System.INCH_POUND) == pytest.approx(from_table)
