"""A defect's state moves by dated, signed lines alone. Common practice, no source."""

from datetime import date

import pytest

from registry.actions.move_defect import move_defect
from registry.defects import CannotMove
from registry.models import Defect, DefectMove, JournalLine
from tests.factories import DefectFactory, OrganisationFactory, PersonFactory

pytestmark = pytest.mark.django_db
ON, LATER = date(2024, 5, 2), date(2024, 6, 3)


@pytest.fixture
def signed():
    return {"by": PersonFactory(), "organisation": OrganisationFactory()}


def test_move_is_dated_and_signed_and_stands_in_the_journal(signed):
    row = DefectFactory()
    move = move_defect(row, to_state="confirmed", on=ON, why="walked", **signed)
    row.refresh_from_db()
    assert row.state == "confirmed"
    assert (move.from_state, move.to_state, move.on, move.why) == (
        "noted", "confirmed", ON, "walked",
    )  # fmt: skip
    assert (move.by, move.by_organisation) == (signed["by"], signed["organisation"])
    line = JournalLine.objects.about(row).get()
    assert (line.verb, line.why, line.changes) == (
        "moved", "walked", {"state": ["noted", "confirmed"]},
    )  # fmt: skip


def test_move_that_may_not_follow_is_refused_and_nothing_is_stored(signed):
    row = DefectFactory()
    with pytest.raises(CannotMove, match="cannot go from “noted” to “repaired”"):
        move_defect(row, to_state="repaired", on=ON, **signed)
    row.refresh_from_db()
    assert row.state == "noted"
    assert not DefectMove.objects.exists() and not JournalLine.objects.exists()


def test_way_back_is_a_new_line_with_its_reason_and_the_old_one_stays(signed):
    row = DefectFactory()
    move_defect(row, to_state="confirmed", on=ON, **signed)
    with pytest.raises(CannotMove, match="needs a reason"):
        move_defect(row, to_state="noted", is_back=True, on=LATER, **signed)
    move_defect(row, to_state="noted", is_back=True, why="other panel", on=LATER, **signed)
    told = list(DefectMove.objects.values_list("to_state", "is_back", "why", "on"))
    assert told == [("confirmed", False, "", ON), ("noted", True, "other panel", LATER)]
    assert JournalLine.objects.filter(verb="moved back").count() == 1


def test_second_of_two_who_move_at_once_is_held_to_the_state_of_then(signed):
    """The row in hand is old; the record is read anew under a lock."""
    row = DefectFactory()
    old = Defect.objects.get(pk=row.pk)
    move_defect(row, to_state="no_action", on=ON, **signed)
    with pytest.raises(CannotMove, match="“no action” to “confirmed”"):
        move_defect(old, to_state="confirmed", on=ON, **signed)


def test_state_that_only_a_split_gives_is_no_persons_to_give(signed):
    row = DefectFactory()
    with pytest.raises(CannotMove, match="cannot go from"):
        move_defect(row, to_state="carried_on", on=ON, **signed)
