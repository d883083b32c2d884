"""States of a work order: each move that the house rule names, and no other."""

import pytest

from registry.planning.faults import CannotMoveOrder
from registry.planning.order_moves import OPEN, STATES, TO_DATE, TO_SETTLE, next_states, refuse_move

# The house rule, written out again from its words; "in_part", "turned_away", "to_redo" and a new
# day for what is dated are the ends it leaves open.
ALLOWED = {
    ("asked_for", "approved"), ("approved", "dated"),
    ("dated", "done"), ("dated", "in_part"), ("dated", "turned_away"), ("dated", "called_off"),
    ("done", "checked"), ("checked", "accepted"), ("checked", "to_redo"),
    ("accepted", "billed"), ("billed", "paid"),
    ("called_off", "dated"), ("called_off", "dropped"),
    ("in_part", "checked"), ("in_part", "dated"), ("turned_away", "dated"),
    ("turned_away", "dropped"), ("to_redo", "dated"), ("dated", "dated"),
}  # fmt: skip


@pytest.mark.parametrize("from_state", STATES)
@pytest.mark.parametrize("to_state", STATES)
def test_only_the_moves_of_the_house_rule_are_let_through(from_state, to_state):
    given = {"is_back": False, "earlier": (), "why": ""}
    if (from_state, to_state) in ALLOWED:
        refuse_move(from_state, to_state, **given)
    else:
        with pytest.raises(CannotMoveOrder):
            refuse_move(from_state, to_state, **given)


def test_nothing_follows_what_is_paid_or_dropped():
    assert next_states("paid") == next_states("dropped") == ()


def test_an_order_is_either_open_or_to_settle_or_at_its_end():
    assert set(STATES) == OPEN | TO_SETTLE | {"paid", "dropped"}
    assert not OPEN & TO_SETTLE


def test_what_may_be_dated_is_what_the_table_lets_be_dated():
    assert {state for state in STATES if "dated" in next_states(state)} == TO_DATE
