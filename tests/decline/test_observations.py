"""Which runs are observations."""

from itertools import permutations

import numpy as np
import pytest

from registry.decline.portfolio import gather_portfolio
from registry.decline.records import Exclusion
from tests.decline.portfolios import AS_OF, Run, hand_records

BELOW, ABOVE = -1, 1


def gathered(*runs, placed="2020-01-01"):
    return gather_portfolio(hand_records({"P": placed}, list(runs)), AS_OF)


def chosen(found):
    return list(zip(np.exp(found.portfolio.ln_rate).round(6), found.portfolio.sign, strict=True))


def test_one_drained_run_is_the_observation():
    assert chosen(gathered(Run("P/T1", "2024-05-01T09:00", 700.0))) == [(700.0, 0)]


@pytest.mark.parametrize("stopped", [False, True])
def test_runs_of_one_instant_and_number_count_alike_in_whatever_order_they_come(stopped):
    at = "2024-05-01T09:00"
    runs = [Run("P/T1", at, rate) for rate in (700.0, 600.0, 500.0)]
    if stopped:
        runs[0] = Run("P/T1", at, 150.0, BELOW)
    found = {tuple(chosen(gathered(*order))) for order in permutations(runs)}
    assert len(found) == 1


def test_two_drained_runs_give_the_mean_of_their_rates():
    found = gathered(Run("P/T1", "2024-05-01T09:00", 700.0), Run("P/T1", "2024-05-01T09:15", 600.0))
    assert chosen(found) == [(650.0, 0)]
    assert found.left_out.run.tolist() == [0, 0]


def test_a_third_drained_run_is_left_out():
    times = ("09:00", "09:15", "09:30")
    found = gathered(*(Run("P/T1", f"2024-05-01T{t}", 600.0 + n) for n, t in enumerate(times)))
    assert chosen(found) == [(600.5, 0)]
    assert found.left_out.run.tolist() == [0, 0, Exclusion.THIRD_RUN]


def test_a_first_run_that_was_stopped_stands_for_the_day():
    found = gathered(
        Run("P/T1", "2024-05-01T09:00", 150.0, BELOW), Run("P/T1", "2024-05-01T09:40", 120.0)
    )
    assert chosen(found) == [(150.0, BELOW)]
    assert found.left_out.run.tolist() == [0, Exclusion.AFTER_A_BOUND]


def test_a_first_run_too_fast_to_hold_a_head_is_a_bound_above():
    assert chosen(gathered(Run("P/T1", "2024-05-01T09:00", 60000.0, ABOVE))) == [(60000.0, ABOVE)]


def test_a_stopped_run_between_two_drained_ones_is_left_out():
    found = gathered(
        Run("P/T1", "2024-05-01T09:00", 300.0),
        Run("P/T1", "2024-05-01T09:20", 150.0, BELOW),
        Run("P/T1", "2024-05-01T09:50", 200.0),
    )
    assert chosen(found) == [(250.0, 0)]
    assert found.left_out.run.tolist() == [0, Exclusion.BOUND_AFTER_A_RUN, 0]


@pytest.mark.parametrize(
    "why", [Exclusion.RAIN, Exclusion.VOID, Exclusion.OTHER_METHOD, Exclusion.OTHER]
)
def test_what_the_record_leaves_out_stays_out_and_the_next_run_counts(why):
    found = gathered(
        Run("P/T1", "2024-05-01T09:00", np.nan, left_out=why),
        Run("P/T1", "2024-05-01T09:20", 200.0),
    )
    assert chosen(found) == [(200.0, 0)]
    assert found.left_out.run.tolist() == [why, 0]


@pytest.mark.parametrize(("first", "second", "wanted"), [
    ((150.0, BELOW), (120.0, 0), (150.0, BELOW)), ((120.0, 0), (150.0, BELOW), (120.0, 0)),
])  # fmt: skip
def test_runs_of_one_start_come_in_the_order_of_their_numbers(first, second, wanted):
    one, other = (
        Run("P/T1", "2024-05-01T09:00", *run, number=number)
        for number, run in enumerate((first, second), start=1)
    )
    assert chosen(gathered(one, other)) == chosen(gathered(other, one)) == [wanted]


def test_the_third_of_one_start_is_the_one_numbered_so():
    runs = [
        Run("P/T1", "2024-05-01T09:00", rate, number=number)
        for number, rate in enumerate((600.0, 500.0, 100.0), start=1)
    ]
    assert chosen(gathered(*runs[::-1])) == [(550.0, 0)]


def test_a_record_may_tell_by_its_own_clocks_that_a_spot_was_tested_under_24_hours_earlier():
    """The night on which clocks are put forward lies between: 24 h by the wall, 23 in truth."""
    found = gathered(
        Run("P/T1", "2024-03-30T15:00", 700.0),
        Run("P/T1", "2024-03-31T15:00", 650.0, left_out=Exclusion.TESTED_WITHIN_24_H),
    )
    assert found.left_out.run.tolist() == [0, Exclusion.TESTED_WITHIN_24_H]


def test_a_spot_tested_under_24_hours_earlier_on_another_day_is_left_out():
    found = gathered(
        Run("P/T1", "2024-05-01T15:00", 700.0),
        Run("P/T1", "2024-05-02T14:59", 650.0),
        Run("P/T1", "2024-05-03T14:59", 640.0),
    )
    assert chosen(found) == [(700.0, 0), (640.0, 0)]
    assert found.left_out.run.tolist() == [0, Exclusion.TESTED_WITHIN_24_H, 0]


@pytest.mark.parametrize(("why", "counts"), [(Exclusion.RAIN, True), (Exclusion.VOID, False)])
def test_water_poured_yesterday_counts_unless_the_run_is_void(why, counts):
    found = gathered(
        Run("P/T1", "2024-05-01T15:00", 700.0, left_out=why),
        Run("P/T1", "2024-05-02T09:00", 650.0),
    )
    assert found.left_out.run[1] == (Exclusion.TESTED_WITHIN_24_H if counts else 0)


def test_another_spot_tested_yesterday_does_not_matter():
    found = gathered(Run("P/T1", "2024-05-01T15:00", 700.0), Run("P/T2", "2024-05-02T09:00", 650.0))
    assert found.left_out.run.tolist() == [0, 0]


def test_a_run_before_the_placing_date_is_left_out():
    found = gathered(Run("P/T1", "2024-04-30T23:59", 700.0), placed="2024-05-01")
    assert chosen(found) == []
    assert found.left_out.run.tolist() == [Exclusion.BEFORE_PLACING]


def test_a_run_after_the_day_is_left_out_and_one_of_that_day_is_not():
    found = gathered(Run("P/T1", "2026-07-01T00:00", 700.0), Run("P/T2", "2026-06-30T23:00", 600.0))
    assert chosen(found) == [(600.0, 0)]
    assert found.left_out.run.tolist() == [Exclusion.AFTER_AS_OF, 0]


def test_the_order_of_rows_changes_nothing():
    runs = [
        Run("P/T2", "2024-05-01T09:00", 500.0),
        Run("P/T1", "2024-05-01T09:00", 700.0),
        Run("P/T1", "2024-05-01T09:00", 300.0),
        Run("P/T1", "2024-05-01T09:00", 100.0, BELOW),
        Run("P/T1", "2023-05-01T09:00", 900.0),
    ]
    found = [chosen(gathered(*order)) for order in (runs, runs[::-1], runs[2:] + runs[:2])]
    assert found[0] == found[1] == found[2]
