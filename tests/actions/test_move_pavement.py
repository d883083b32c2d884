"""States of a pavement and the only moves between them."""

from datetime import date
from itertools import product

import pytest

from registry.actions.move_pavement import CannotMove, move_pavement, moves_from
from registry.models import PavementState
from tests import factories

# common practice, no source: written out a second time, so that a slip in one of them shows
ALLOWED = {
    ("planned", "placed"),
    ("placed", "curing"),
    ("curing", "in_service"),
    ("in_service", "closed_in_part"),
    ("in_service", "closed"),
    ("in_service", "removed"),
    ("closed_in_part", "in_service"),
    ("closed", "in_service"),
}


@pytest.fixture
def seat(db):
    return factories.SeatFactory()


def move(seat, to, on=date(2024, 5, 1), why="seen"):
    return move_pavement(
        seat.pavement,
        to=to,
        on=on,
        why=why,
        today=date(2024, 6, 1),
        by=factories.PersonFactory(),
        organisation=seat.organisation,
    )


@pytest.mark.parametrize(
    ("old", "new"), [p for p in product(PavementState.values, repeat=2) if p[0] != p[1]]
)
def test_only_the_written_moves_are_made(seat, old, new):
    seat.pavement.state = old
    seat.pavement.save(update_fields=["state"])
    if (old, new) in ALLOWED:
        assert move(seat, new).state == new
        return
    with pytest.raises(CannotMove):
        move(seat, new)
    seat.pavement.refresh_from_db()
    assert seat.pavement.state == old


def test_way_back_is_offered_after_a_move_and_gone_once_it_was_taken(seat):
    seat.pavement.state = "planned"
    seat.pavement.save(update_fields=["state"])
    assert [to for to, _ in moves_from(seat.pavement)] == ["placed"]
    move(seat, "placed")
    assert [to for to, _ in moves_from(seat.pavement)] == ["curing", "planned"]
    move(seat, "planned", why="it was the lot next door")
    assert [to for to, _ in moves_from(seat.pavement)] == ["placed"]


def test_two_moves_are_taken_back_one_after_the_other(seat):
    seat.pavement.state = "planned"
    seat.pavement.save(update_fields=["state"])
    for to in ("placed", "curing", "placed", "planned"):
        move(seat, to)
    assert seat.pavement.state == "planned"


def test_pavement_that_somebody_else_moved_meanwhile_is_not_moved(seat):
    type(seat.pavement).objects.filter(pk=seat.pavement_id).update(state="closed")
    with pytest.raises(CannotMove, match="Somebody else"):
        move(seat, "removed")
