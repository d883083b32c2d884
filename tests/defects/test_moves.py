"""The states of a defect, and what a visit's answer means for them."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.defects import OPEN, STATES, CannotMove, after_answer, next_states, refuse_move

HAPPY = [
    "noted confirmed watching repaired sound closed",
    "noted confirmed repair_ordered repaired sound closed",
    "noted confirmed made_safe repair_ordered repaired sound closed",
    "noted confirmed watching not_found_once not_found_closed",
    "noted no_action part_of",
    "noted no_action removed",
    "noted part_of",
    "repaired removed",
    "noted not_found_once part_of",
]


@pytest.mark.parametrize("way", HAPPY)
def test_the_ways_of_the_table_are_open(way):
    for here, there in itertools.pairwise(way.split()):
        refuse_move(here, there, is_back=False, earlier=(), why="")


@pytest.mark.parametrize(
    ("here", "there"),
    [
        ("noted", "watching"),
        ("noted", "repaired"),
        ("noted", "closed"),
        ("watching", "closed"),
        ("confirmed", "no_action"),
        ("repaired", "closed"),
        ("noted", "not_found_closed"),
        ("no_action", "not_found_once"),
        ("closed", "noted"),
        ("removed", "part_of"),
        ("not_found_once", "confirmed"),
    ],
)
def test_a_move_that_the_table_does_not_have_is_refused(here, there):
    with pytest.raises(CannotMove, match=f"cannot go from “{STATES[here].split('(')[0]}"):
        refuse_move(here, there, is_back=False, earlier=("noted", "confirmed"), why="mistake")


ANY = "not_found_once part_of removed"
TABLE = {
    "noted": f"confirmed no_action {ANY}",
    "confirmed": f"watching repair_ordered made_safe {ANY}",
    "watching": f"repair_ordered made_safe repaired {ANY}",
    "repair_ordered": f"watching made_safe repaired {ANY}",
    "made_safe": f"watching repair_ordered repaired {ANY}",
    "repaired": f"sound {ANY}",
    "sound": f"closed {ANY}",
    "no_action": "part_of removed",
    "not_found_once": "not_found_closed part_of removed",
    "not_found_closed": "",
    "closed": "",
    "part_of": "",
    "removed": "",
    "carried_on": "",
}
"""Written by hand from what the trade does: common practice, no source. Only a split carries on."""


@pytest.mark.parametrize(("here", "there"), list(itertools.permutations(TABLE, 2)), ids=str)
def test_every_pair_of_states_is_open_or_refused_as_the_table_has_it(here, there):
    assert set(TABLE) == set(STATES)
    if there in TABLE[here].split():
        refuse_move(here, there, is_back=False, earlier=(), why="")
    else:
        with pytest.raises(CannotMove, match="cannot go from"):
            refuse_move(here, there, is_back=False, earlier=tuple(STATES), why="mistake")


def test_a_refused_move_names_what_may_come():
    with pytest.raises(CannotMove) as refused:
        refuse_move("repaired", "closed", is_back=False, earlier=(), why="")
    assert refused.value.message == (
        "A defect cannot go from “repaired” to “closed”. After “repaired” comes “sound at next "
        "visit”, “not found (once)”, “part of another defect”, “removed with panel”. To undo a "
        "move, go back and say why."
    )


def test_a_move_back_needs_a_reason_and_a_state_it_was_in():
    earlier = ("noted", "confirmed")
    refuse_move("watching", "noted", is_back=True, earlier=earlier, why="wrong panel")
    with pytest.raises(CannotMove, match="needs a reason"):
        refuse_move("watching", "noted", is_back=True, earlier=earlier, why="  ")
    with pytest.raises(CannotMove, match="was never “repaired”"):
        refuse_move("watching", "repaired", is_back=True, earlier=earlier, why="wrong panel")


def test_even_what_is_closed_can_be_taken_back_with_a_reason():
    refuse_move("not_found_closed", "watching", is_back=True, earlier=("watching",), why="found")


@pytest.mark.parametrize("is_back", [True, False])
def test_a_move_to_where_it_is_already_is_refused(is_back):
    with pytest.raises(CannotMove, match="is “noted” already"):
        refuse_move("noted", "noted", is_back=is_back, earlier=("noted",), why="x")


def test_a_word_that_is_no_state_is_refused():
    with pytest.raises(CannotMove, match="“done” is not a state"):
        refuse_move("noted", "done", is_back=False, earlier=(), why="")
    with pytest.raises(CannotMove, match="“done” is not a state"):
        next_states("done")


@pytest.mark.parametrize("state", sorted(STATES))
def test_an_open_defect_always_has_a_next_state_and_an_ended_one_none(state):
    assert bool(next_states(state)) == (state in OPEN or state == "no_action")
    assert set(next_states(state)) <= set(STATES) - {state}


def test_from_every_open_state_a_defect_can_be_brought_to_an_end():
    def ends(state: str, seen: frozenset[str]) -> bool:
        if state == "closed":
            return True
        return any(ends(n, seen | {state}) for n in next_states(state) if n not in seen)

    assert all(ends(state, frozenset()) for state in OPEN - {"not_found_once"})


def test_case_44_a_defect_not_found_once_stays_open():
    answered = after_answer("watching", "not_found", True, ())
    assert answered.state == "not_found_once"
    assert answered.state in OPEN
    assert answered.words == "Not found in good light: it stays open. Look again next time."


def test_case_44_not_found_a_second_time_in_good_light_is_closed_and_says_so():
    answered = after_answer("not_found_once", "not_found", True, (True,))
    assert answered.state == "not_found_closed"
    assert answered.words == "Not found a second time in good light: closed as not found."


@pytest.mark.parametrize("light", [False, None])
def test_case_44_not_found_in_bad_or_unknown_light_does_not_count(light):
    assert after_answer("watching", "not_found", light, ()).state == "watching"
    assert after_answer("not_found_once", "not_found", light, (True,)).state == "not_found_once"
    assert after_answer("not_found_once", "not_found", True, (light,)).state == "not_found_once"


def test_could_not_look_changes_nothing():
    answered = after_answer("not_found_once", "could_not_look", True, (True,))
    assert (answered.state, answered.suggests) == ("not_found_once", "")


def test_what_is_found_again_goes_back_to_the_state_it_had():
    earlier = ("noted", "confirmed", "repair_ordered", "not_found_once", "not_found_closed")
    answered = after_answer("not_found_once", "found", True, (True,), earlier)
    assert (answered.state, answered.is_back) == ("repair_ordered", True)
    refuse_move("not_found_once", answered.state, is_back=True, earlier=earlier, why=answered.words)


def test_what_is_found_again_without_a_history_asks_for_the_state():
    with pytest.raises(CannotMove, match="say which state it goes back to"):
        after_answer("not_found_once", "found", True, (True,))


def test_case_43_what_is_found_after_its_repair_is_to_be_noted_as_a_new_defect():
    answered = after_answer("repaired", "found", True, ())
    assert answered.state == "repaired"
    assert "note a new defect there and link it “recurs”" in answered.words


@pytest.mark.parametrize(("state", "suggested"), [("repaired", "sound"), ("sound", "closed")])
def test_a_repair_where_nothing_is_found_is_called_sound_by_a_person_only(state, suggested):
    answered = after_answer(state, "not_found", True, ())
    assert (answered.state, answered.suggests) == (state, suggested)


def test_an_answer_left_blank_is_refused():
    with pytest.raises(CannotMove, match="found, not found, or could not look"):
        after_answer("noted", "", True, ())


@given(
    st.sampled_from(sorted(set(STATES) - {"not_found_once"})),
    st.sampled_from(["found", "not_found", "could_not_look"]),
    st.sampled_from([True, False, None]),
    st.lists(st.sampled_from([True, False, None])),
)
def test_one_answer_never_closes_what_was_not_missed_before(state, answer, light, missed):
    answered = after_answer(state, answer, light, missed)
    assert answered.state in {state, "not_found_once"}
    if answered.state != state:
        assert answered.state in next_states(state)
    assert answered.suggests in {"", *next_states(state)}
