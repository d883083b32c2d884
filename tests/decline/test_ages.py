"""Effective age, by hand and against steps taken one at a time."""

import numpy as np
import pytest

from registry.decline.ages import AgeTable, recovery_slope, walk_ages
from registry.decline.parameters import Parameters
from registry.decline.portfolio import CleaningLists, gather_portfolio
from registry.decline.posterior import ages_on
from registry.decline.priors import PRIOR_MEANS
from tests.decline.portfolios import AS_OF, Run, hand_records, reference_gathered

RECOVERY = np.array([0.15, 0.30, 0.40, 0.65])
YEAR = 365.25


def with_recovery(recovery):
    return Parameters(**{**vars(PRIOR_MEANS), "recovery": np.asarray(recovery)})


def test_kijimas_second_age_by_hand():
    # X = 2 years, q = 0.4 kept each time: 0.8, 1.12, 1.248, 1.2992.
    lists = CleaningLists(np.array([0, 4]), np.full(4, 2.0), np.zeros(4, np.uint8))
    walk = walk_ages(AgeTable.of(lists), np.array([0.6, 0.1, 0.1, 0.1]))
    assert walk.after[:4] == pytest.approx([0.8, 1.12, 1.248, 1.2992])
    assert walk.before == pytest.approx([2.0, 2.8, 3.12, 3.248])


def random_lists():
    rng = np.random.default_rng(7)
    length = rng.integers(0, 9, 40)
    count = length.sum()
    first = np.concatenate(([0], np.cumsum(length)))
    return CleaningLists(first, rng.uniform(0, 2, count), rng.integers(0, 4, count))


def test_all_lists_at_once_as_one_after_another():
    lists = random_lists()
    table = AgeTable.of(lists)
    walk = walk_ages(table, RECOVERY)
    for number in range(len(lists.first) - 1):
        age = 0.0
        for passed, row in enumerate(range(lists.first[number], lists.first[number + 1]), start=1):
            age = (1 - RECOVERY[lists.method[row]]) * (age + lists.gap[row])
            slot = table.slot(np.array([number]), np.array([passed]))
            assert walk.after[slot] == pytest.approx([age], rel=1e-12)
    assert walk.after[table.slot(np.arange(5), np.zeros(5, int))] == pytest.approx(np.zeros(5))


def test_slope_in_the_recoveries_is_that_of_differences():
    table = AgeTable.of(random_lists())
    weight = np.random.default_rng(8).normal(size=len(table.gap))
    slope = recovery_slope(table, RECOVERY, walk_ages(table, RECOVERY), weight)
    for method in range(4):
        away = np.zeros(4)
        away[method] = 1e-6
        ahead, behind = (
            walk_ages(table, RECOVERY + sign * away).after[:-1] @ weight for sign in (1, -1)
        )
        assert slope[method] == pytest.approx((ahead - behind) / 2e-6, rel=1e-6)


def test_a_cleaning_at_the_instant_of_a_test_counts_as_after_it():
    records = hand_records(
        {"P": "2024-01-01"},
        [Run("P/T1", "2025-01-01T10:00", 900.0)],
        [("P", "2025-01-01T10:00", "vacuum")],
    )
    portfolio = gather_portfolio(records, AS_OF).portfolio
    assert portfolio.passed.tolist() == [0]
    assert portfolio.since == pytest.approx([(366 + 10 / 24) / YEAR])


def test_a_cleaning_that_skipped_the_panel_does_not_reset_the_spot():
    runs = [Run(f"P/{spot}", "2025-06-01T00:00", 900.0) for spot in ("T1", "T2")]
    cleanings = [
        ("P", "2025-01-01T00:00", "vacuum"),
        ("P", "2025-03-01T00:00", "wash_and_vacuum"),
    ]
    records = hand_records({"P": "2024-01-01"}, runs, cleanings, skips=[(1, "P/T2")])
    portfolio = gather_portfolio(records, np.datetime64("2025-06-01")).portfolio
    assert portfolio.passed.tolist() == [2, 1]
    age = ages_on(portfolio, with_recovery(RECOVERY))
    reached = (0.6 * 366 / YEAR + 59 / YEAR) * 0.35 + 92 / YEAR
    skipped = 0.6 * 366 / YEAR + 151 / YEAR
    assert age == pytest.approx([reached, reached, skipped])


def test_age_of_the_reference_portfolio_without_cleanings_is_its_age_in_years():
    portfolio = reference_gathered().portfolio
    uncleaned = np.flatnonzero(np.diff(portfolio.lists.first)[: len(portfolio.ref)] == 0)
    age = ages_on(portfolio, PRIOR_MEANS)[uncleaned]
    days = (portfolio.as_of - portfolio.placed_on[uncleaned]).astype(int)
    assert len(uncleaned)
    assert age == pytest.approx(days / YEAR)


def test_age_before_placing_is_not_a_number():
    records = hand_records({"P": "2027-01-01"}, [])
    portfolio = gather_portfolio(records, AS_OF).portfolio
    assert np.isnan(ages_on(portfolio, PRIOR_MEANS)).all()
