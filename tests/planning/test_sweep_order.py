"""N26: each key in turn, ties by travel, what is not known, and the order of entry."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.planning.sweep_order import Candidate, sweep_order

PLAIN = Candidate("A", False, 12.0, 0.5, 100.0, 10.0)


def refs(*candidates: Candidate) -> list[str]:
    return [ranked.ref for ranked in sweep_order(candidates)]


def test_below_goes_first():
    # PP-22-05 at 12 in/h against 13.6 in July 2026.
    assert refs(PLAIN, replace(PLAIN, ref="PP-22-05", is_below=True)) == ["PP-22-05", "A"]


def test_not_decided_stands_between_below_and_above():
    unknown, below = replace(PLAIN, ref="B", is_below=None), replace(PLAIN, ref="C", is_below=True)
    assert refs(PLAIN, unknown, below) == ["C", "B", "A"]


def test_each_key_in_turn():
    assert refs(PLAIN, replace(PLAIN, ref="B", months_left=6.0)) == ["B", "A"]
    assert refs(PLAIN, replace(PLAIN, ref="B", reserve=0.1)) == ["B", "A"]
    assert refs(PLAIN, replace(PLAIN, ref="B", run_on_m2=200.0)) == ["B", "A"]
    assert refs(PLAIN, replace(PLAIN, ref="B", travel_minutes=5.0)) == ["B", "A"]


def test_a_missed_window_before_frost_goes_ahead_of_its_rank():
    below = replace(PLAIN, ref="B", is_below=True)
    missed = replace(PLAIN, ref="C", missed_window_before_frost=True)
    ranked = sweep_order([below, missed])
    assert [r.ref for r in ranked] == ["C", "B"]
    assert ranked[0].reason.startswith("missed its window before frost")


def test_no_date_and_not_known_are_told_apart():
    never, unknown = replace(PLAIN, months_left=math.inf), replace(PLAIN, ref="B", months_left=None)
    first, second = sweep_order([unknown, never])
    assert "no date" in first.reason
    assert second.not_known == ("months to the action level",)


@given(st.permutations([replace(PLAIN, ref=ref) for ref in "ABCDE"]))
def test_the_order_of_entry_does_not_matter(candidates):
    assert refs(*candidates) == list("ABCDE")


def test_nothing_to_rank():
    assert sweep_order([]) == ()


@pytest.mark.parametrize(
    ("months", "words"),
    [(0.0, "within a month"), (1.2, "in 1 month"), (17.4, "in 17 months"), (math.inf, "no date")],
)
def test_reason_says_when_it_may_be_below(months, words):
    (ranked,) = sweep_order([replace(PLAIN, months_left=months)])
    assert words in ranked.reason
    assert "1 months" not in ranked.reason
