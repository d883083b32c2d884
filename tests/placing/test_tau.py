"""Kendall's tau-b against SciPy (`scipy.stats.kendalltau`) and against a count by hand."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import kendalltau

from registry.placing.tau import shuffled_p, tau_b

VALUES = st.integers(0, 6)


def test_a_small_table_counted_by_hand():
    """Pairs of (1,1) (2,3) (3,2) (4,4) (4,5): 8 concordant, 1 discordant, 1 tied in x alone.

    S = 7, n0 = 10, n1 = 1, n2 = 0: 7 / sqrt(9 x 10) = 0.7379.
    """
    assert tau_b([1, 2, 3, 4, 4], [1, 3, 2, 4, 5]) == pytest.approx(7 / 90**0.5)


def test_p_of_a_small_table_counted_by_hand():
    """Three in order: of 6 orders 2 have |S| = 3, so p is near 1/3."""
    assert shuffled_p([1, 2, 3], [1, 2, 3], seed=1, shuffles=20_000) == pytest.approx(
        1 / 3, abs=0.01
    )


@given(st.lists(st.tuples(VALUES, VALUES), min_size=2, max_size=25))
def test_tau_b_against_scipy(pairs):
    x, y = zip(*pairs, strict=True)
    theirs = kendalltau(x, y).statistic
    ours = tau_b(x, y)
    assert theirs != theirs if ours is None else ours == pytest.approx(theirs)


def test_shuffled_p_against_scipys_exact_one():
    x, y = list(range(9)), [2, 0, 1, 4, 3, 8, 5, 7, 6]
    exact = kendalltau(x, y, method="exact").pvalue
    assert shuffled_p(x, y, seed=7, shuffles=20_000) == pytest.approx(exact, abs=0.003)


def test_shuffled_p_against_every_order_of_a_table_with_ties():
    x, y = [1, 1, 2, 3, 4, 4], [0, 1, 1, 2, 2, 3]
    seen = abs(tau_b(x, y))
    every = [abs(tau_b(x, order)) >= seen - 1e-12 for order in itertools.permutations(y)]
    exact = sum(every) / len(every)
    assert shuffled_p(x, y, seed=3, shuffles=20_000) == pytest.approx(exact, abs=0.01)


def test_the_seed_decides_and_p_is_never_zero():
    x = list(range(30))
    assert shuffled_p(x, x, seed=5, shuffles=500) == 1 / 501
    noisy = [3, 1, 4, 1, 5, 9, 2, 6, 5, 3]
    first = shuffled_p(range(10), noisy, seed=5, shuffles=2000)
    assert first == shuffled_p(range(10), noisy, seed=5, shuffles=2000)
    assert first != shuffled_p(range(10), noisy, seed=6, shuffles=2000)


def test_what_has_no_order_has_no_tau():
    assert tau_b([1, 1, 1], [1, 2, 3]) is None
    assert tau_b([1], [2]) is None


def test_lists_of_different_length_or_no_shuffle_are_a_mistake_of_the_caller():
    with pytest.raises(ValueError, match="as many"):
        tau_b([1, 2], [1])
    with pytest.raises(ValueError, match="one shuffle"):
        shuffled_p([1, 2], [1, 2], seed=1, shuffles=0)


def test_many_loads_are_shuffled_in_parts_and_give_the_same_kind_of_p():
    x = list(range(120))
    y = [(n * 37) % 120 for n in range(120)]
    theirs = kendalltau(x, y).pvalue
    assert shuffled_p(x, y, seed=2, shuffles=2000) == pytest.approx(theirs, abs=0.04)
