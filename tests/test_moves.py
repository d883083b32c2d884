"""What may follow which state is a table; the way back is a new line with a reason."""

import pytest

from registry.faults import DomainError
from registry.moves import MoveRules


class CannotMoveDoor(DomainError):
    """A door may not do this."""


DOOR = MoveRules(
    "door",
    {"open": "open", "shut": "shut", "gone": "gone"},
    {"open": ("shut", "open"), "shut": ("open", "gone")},
    CannotMoveDoor,
)


def refuse(from_state, to_state, *, is_back=False, earlier=(), why=""):
    DOOR.refuse_move(from_state, to_state, is_back=is_back, earlier=earlier, why=why)


def test_move_of_the_table_is_let_through_even_to_the_same_state():
    refuse("open", "shut")
    refuse("open", "open")


@pytest.mark.parametrize(
    ("move", "words"),
    [
        (("open", "gone"), "After “open” comes “shut”, “open”"),
        (("gone", "open"), "After “gone” comes nothing"),
        (("shut", "shut"), "is “shut” already"),
        (("open", "ajar"), "“ajar” is not a state of a door"),
    ],
)
def test_move_out_of_the_table_is_refused_in_words(move, words):
    with pytest.raises(CannotMoveDoor, match=words):
        refuse(*move)


def test_way_back_needs_a_state_it_was_in_and_a_reason():
    refuse("gone", "shut", is_back=True, earlier=["open", "shut"], why="found again")
    with pytest.raises(CannotMoveDoor, match="was never “open”"):
        refuse("gone", "open", is_back=True, earlier=["shut"], why="found again")
    with pytest.raises(CannotMoveDoor, match="needs a reason"):
        refuse("gone", "shut", is_back=True, earlier=["shut"], why=" ")
    with pytest.raises(CannotMoveDoor, match="already"):
        refuse("open", "open", is_back=True, earlier=["open"], why="again")
