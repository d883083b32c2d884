"""States of warranty and callback: the dispute's own way is open, others are refused."""

import itertools

import pytest

from registry.placing import CALLBACK, WARRANTY, CannotMovePlacing
from registry.placing.claim_moves import (
    ANSWERS,
    ENDED,
    IN_DISPUTE,
    RUNNING,
    is_frozen,
    settlement_is_signed,
    undoes_dispute,
)

WAYS = [
    "received acknowledged visit_set visited finding_issued accepted_in_part disputed "
    "evaluator_named reported settlement_offered settled remedy_dated remedy_done closed",
    "finding_issued accepted agreed remedy_dated remedy_done closed",
    "finding_issued declined silent closed",
    "finding_issued goodwill agreed closed",
    "finding_issued evidence_asked visit_set visited",
    "received out_of_time",
    "received not_ours",
    "received withdrawn",
    "disputed settlement_offered settled closed",
    "disputed in_court ruled remedy_dated remedy_done closed",
    "in_court settlement_offered settled remedy_dated",
    "in_court ruled settlement_offered settled",
    "settlement_offered in_court",
]


@pytest.mark.parametrize("way", WAYS)
def test_the_ways_of_a_callback_are_open(way):
    for here, there in itertools.pairwise(way.split()):
        CALLBACK.refuse_move(here, there, is_back=False, earlier=(), why="")


@pytest.mark.parametrize(
    ("here", "there"),
    [
        ("received", "visited"),
        ("received", "accepted"),
        ("acknowledged", "declined"),
        ("declined", "remedy_dated"),
        ("remedy_dated", "closed"),
        ("visited", "withdrawn"),
        *((state, "settled") for state in ("disputed", "evaluator_named", "reported", "in_court")),
        ("closed", "received"),
    ],
)
def test_a_move_that_the_table_does_not_have_is_refused(here, there):
    with pytest.raises(CannotMovePlacing, match="A callback cannot go from"):
        CALLBACK.refuse_move(here, there, is_back=False, earlier=(here,), why="mistake")


def test_any_callback_may_go_to_court_and_is_frozen_there():
    for state in set(CALLBACK.states) - {"in_court"}:
        assert "in_court" in CALLBACK.next_states(state)
    assert "in_court" in IN_DISPUTE


def test_every_answer_waits_for_the_owners_reply():
    for answer in ANSWERS:
        assert {"agreed", "disputed", "silent"} <= set(CALLBACK.next_states(answer))


def test_an_ended_callback_goes_nowhere_but_to_court():
    assert all(CALLBACK.next_states(state) == ("in_court",) for state in ENDED)


def test_a_warranty_runs_is_transferred_or_renewed_in_part_and_ends():
    for here, there in itertools.pairwise(
        ["not_started", "running", "transferred", "part_renewed", "ended"]
    ):
        WARRANTY.refuse_move(here, there, is_back=False, earlier=(), why="")
    for again in ("transferred", "part_renewed"):  # sold twice, two repairs
        WARRANTY.refuse_move(again, again, is_back=False, earlier=(), why="")
    assert all("ended" in WARRANTY.next_states(state) for state in RUNNING)
    with pytest.raises(CannotMovePlacing):
        WARRANTY.refuse_move("not_started", "ended", is_back=False, earlier=(), why="")
    assert WARRANTY.next_states("ended") == ()


@pytest.mark.parametrize("state", sorted(IN_DISPUTE))
def test_the_way_back_out_of_a_dispute_lifts_no_freeze_and_a_settlement_does(state):
    on = set(CALLBACK.next_states(state)) - IN_DISPUTE
    assert on == {"settlement_offered": {"settled"}, "in_court": {"ruled"}}.get(state, set())
    for goal in set(CALLBACK.states) - IN_DISPUTE:
        assert undoes_dispute(state, goal) is (goal not in on)
        assert is_frozen(goal, [(state, False), (goal, True)])
        assert is_frozen(goal, [(state, False), (goal, False)]) is (goal != "settled")
    assert not any(undoes_dispute(state, goal) for goal in IN_DISPUTE)


def test_what_a_court_ruled_stays_frozen_until_both_sides_settle():
    moves = [("in_court", False), ("ruled", False), ("closed", False)]
    assert is_frozen("closed", moves)
    signed = [*moves[:2], ("settlement_offered", False)]
    assert is_frozen("settlement_offered", signed)
    assert not is_frozen("settled", [*signed, ("settled", False)])


@pytest.mark.parametrize(
    ("states", "signed"),
    [
        ("reported", False),
        ("reported settlement_offered", True),
        ("settlement_offered back-reported", False),
        ("settlement_offered settled", True),
        ("settlement_offered settled closed", True),
        ("settlement_offered settled in_court", True),
        ("settlement_offered settled back-reported", False),
        ("settlement_offered settled back-reported back-settled", False),
    ],
)
def test_lines_of_a_settlement_are_closed_while_a_side_has_signed_them(states, signed):
    moves = [(one.removeprefix("back-"), one.startswith("back-")) for one in states.split()]
    assert settlement_is_signed(moves[-1][0], moves) is signed


def test_what_court_froze_after_a_settlement_stays_frozen_on_the_way_back_to_it():
    moves = [("disputed", False), ("settled", False)]
    assert not is_frozen("settled", moves)
    assert is_frozen("settled", [*moves, ("in_court", False), ("settled", True)])
    assert not is_frozen("received", [])
