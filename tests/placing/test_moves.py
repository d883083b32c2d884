"""States of load, cover, lot and repair: the ways of the table are open, others are refused."""

import itertools

import pytest

from registry.placing import COVER, LOAD, LOT_ACCEPTANCE, REPAIR, CannotMovePlacing

WAYS = [
    (LOAD, "ordered arrived accepted placed"),
    (LOAD, "ordered arrived sent_back"),
    (LOAD, "accepted wasted_in_part placed"),
    (COVER, "bare covered broken covered_again broken covered_again uncovered"),
    (COVER, "covered uncovered_early covered_again uncovered"),
    (COVER, "covered uncovered_early short"),
    (LOT_ACCEPTANCE, "waiting accepted"),
    (LOT_ACCEPTANCE, "waiting with_list list_done accepted"),
    (LOT_ACCEPTANCE, "waiting not_accepted repaired waiting removed"),
    (REPAIR, "ordered waiting under_way done curing accepted"),
    (REPAIR, "ordered under_way done not_accepted ordered"),
]


@pytest.mark.parametrize(("rules", "way"), WAYS)
def test_the_ways_of_the_table_are_open(rules, way):
    for here, there in itertools.pairwise(way.split()):
        rules.refuse_move(here, there, is_back=False, earlier=(), why="")


@pytest.mark.parametrize(
    ("rules", "here", "there"),
    [
        (LOAD, "ordered", "placed"),
        (LOAD, "sent_back", "accepted"),
        (LOAD, "placed", "sent_back"),
        (COVER, "bare", "uncovered"),
        (COVER, "uncovered", "covered_again"),
        (COVER, "broken", "uncovered"),
        (LOT_ACCEPTANCE, "waiting", "list_done"),
        (LOT_ACCEPTANCE, "not_accepted", "accepted"),
        (REPAIR, "ordered", "accepted"),
        (REPAIR, "done", "accepted"),
        (REPAIR, "accepted", "ordered"),
    ],
)
def test_a_move_that_the_table_does_not_have_is_refused(rules, here, there):
    with pytest.raises(CannotMovePlacing, match=f"A {rules.thing} cannot go from"):
        rules.refuse_move(here, there, is_back=False, earlier=(here,), why="mistake")


@pytest.mark.parametrize("rules", [LOAD, COVER, LOT_ACCEPTANCE, REPAIR])
def test_every_state_is_known_reached_and_named_once(rules):
    named = {state for following in rules.forward.values() for state in following}
    assert named <= set(rules.states) and set(rules.forward) <= set(rules.states)
    assert set(rules.states) - named <= {next(iter(rules.states))}
    assert len(set(rules.states.values())) == len(rules.states)


def test_the_way_back_needs_a_reason():
    with pytest.raises(CannotMovePlacing, match="needs a reason"):
        LOAD.refuse_move("placed", "accepted", is_back=True, earlier=("accepted",), why=" ")
    LOAD.refuse_move("placed", "accepted", is_back=True, earlier=("accepted",), why="wrong load")
