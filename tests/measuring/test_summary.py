"""One visit by strata and as a whole (N4)."""

import pytest

from registry.measuring import InvalidSample, SpotValue, Stratum, summarise_visit

IN = 25.4
E, T, S = Stratum.RUN_ON_EDGE, Stratum.WHEEL_PATH, Stratum.FIELD
AREAS = {E: 1440.0, T: 1440.0, S: 2880.0}


def value(spot: str, stratum: Stratum, in_h: float, sign: str = "") -> SpotValue:
    return SpotValue(spot, stratum, in_h * IN, sign)


def test_worked_example_n4_area_weighted_mean_and_lowest_go_together():
    visit = summarise_visit(
        [value("U", E, 40), value("U2", E, 80), value("W", T, 240), value("M", S, 480)], AREAS
    )
    assert [s.stratum for s in visit.strata] == [E, T, S]
    assert visit.strata[0].mean_mm_h / IN == pytest.approx(60)
    assert visit.mean_mm_h / IN == pytest.approx(315)
    assert visit.lowest.spot == "U"


def test_site_mean_of_three_spots_by_hand():
    # 587.361, 293.681 and 29.368 -> 303.470 in/h
    visit = summarise_visit(
        [value("1", S, 587.361), value("2", S, 293.681), value("3", S, 29.368)], {S: 100.0}
    )
    assert visit.mean_mm_h / IN == pytest.approx(303.470, abs=5e-4)


def test_arithmetic_mean_of_four_spots_by_hand():
    # 100, 200, 400 and 800 -> 375 in/h; their geometric mean is 282.843 (test_certainty.py)
    rates = [value(str(n), S, rate) for n, rate in enumerate((100, 200, 400, 800))]
    assert summarise_visit(rates, {S: 100.0}).strata[0].mean_mm_h / IN == pytest.approx(375)


def test_a_bound_withholds_the_mean_and_stays_lowest():
    visit = summarise_visit([value("U", E, 3.9, "<"), value("W", T, 31)], {E: 1.0, T: 1.0})
    edge = visit.strata[0]
    assert (edge.mean_mm_h, edge.n_bounds) == (None, 1)
    assert "bounds" in edge.reason
    assert visit.mean_mm_h is None
    assert (visit.lowest.spot, visit.lowest.sign) == ("U", "<")


def test_median_is_given_only_if_fewer_than_half_are_bounds_and_it_rests_on_none():
    three = [value("a", E, 3.9, "<"), value("b", E, 22), value("c", E, 68)]
    assert summarise_visit(three, AREAS).strata[0].median_mm_h / IN == pytest.approx(22)
    two = summarise_visit(three[:2], AREAS).strata[0]
    assert two.median_mm_h is None
    high = [value("a", E, 100, "<"), value("b", E, 22), value("c", E, 68)]
    assert summarise_visit(high, AREAS).strata[0].median_mm_h is None


def test_numbers_below_count_bounds_under_the_level_and_name_those_that_straddle():
    visit = summarise_visit(
        [value("a", E, 3.9, "<"), value("b", E, 19.6, "<"), value("c", E, 12), value("d", E, 13)],
        AREAS,
        action_mm_h=12.5 * IN,
    )
    edge = visit.strata[0]
    assert (edge.n, edge.n_below, edge.n_undecided) == (4, 2, 1)


def test_without_an_action_level_nothing_is_counted_below():
    assert summarise_visit([value("U", E, 5)], AREAS).strata[0].n_below is None


def test_a_stratum_without_a_test_withholds_the_mean_of_the_whole():
    visit = summarise_visit([value("U", E, 60), value("W", T, 240)], AREAS)
    assert visit.mean_mm_h is None
    assert visit.reason == "No mean of the whole: “stalls or middle” was not tested."


def test_a_stratum_without_an_area_withholds_the_mean_of_the_whole():
    visit = summarise_visit([value("U", E, 60)], {})
    assert visit.mean_mm_h is None
    assert visit.reason == "No mean of the whole: the area of “run-on edge” is not written down."


def test_no_results_print_none_and_divide_by_nothing():
    visit = summarise_visit([], AREAS)
    assert (visit.strata, visit.mean_mm_h, visit.lowest) == ((), None, None)
    assert visit.reason == "No results."


def test_an_area_of_nothing_is_refused():
    with pytest.raises(InvalidSample):
        summarise_visit([value("U", E, 60)], {E: 0.0})
