"""Which states lie within reach of which, by the table of moves of a defect."""

import pytest

from registry.defects import STATES, next_states
from registry.defects.faults import CannotMove
from registry.defects.passing import reaches


def test_every_direct_move_lies_within_reach():
    assert all(reaches(state, goal) for state in STATES for goal in next_states(state))


@pytest.mark.parametrize("goal", ["repaired", "sound", "closed", "not_found_closed", "removed"])
def test_what_comes_after_several_steps_lies_within_reach(goal):
    assert reaches("noted", goal)
    assert goal not in next_states("noted") or goal == "removed"


@pytest.mark.parametrize(
    ("start", "goal"),
    [("closed", "noted"), ("repaired", "confirmed"), ("part_of", "closed"), ("noted", "noted")],
)
def test_the_way_back_does_not(start, goal):
    assert not reaches(start, goal)


def test_a_word_that_is_no_state_is_refused():
    with pytest.raises(CannotMove):
        reaches("noted", "resolved")
