"""A void entry keeps its row and its reason; a double points to the entry that is kept."""

import pytest

from registry.actions.void_entry import CannotBeVoided, mark_double, void_entry
from registry.models import InfiltrationTest, JournalLine
from tests.factories import InfiltrationTestFactory, PersonFactory

pytestmark = pytest.mark.django_db
NOBODY = {"by": None, "organisation": None}


def test_void_entry_says_who_and_why_and_stands_no_more():
    by = PersonFactory()
    row = void_entry(InfiltrationTestFactory(), why="wrong lot", by=by, organisation=None)
    assert (row.void_why, row.void_by, row.is_void) == ("wrong lot", by, True)
    assert not InfiltrationTest.objects.standing().exists()
    assert JournalLine.objects.about(row).get().why == "wrong lot"


def test_entry_is_void_once_and_with_a_reason():
    row = InfiltrationTestFactory()
    with pytest.raises(CannotBeVoided, match="Say why"):
        void_entry(row, why="  ", **NOBODY)
    void_entry(row, why="wrong lot", **NOBODY)
    with pytest.raises(CannotBeVoided, match="void already"):
        void_entry(row, why="again", **NOBODY)
    assert InfiltrationTest.objects.get().void_why == "wrong lot"


def test_double_points_to_the_one_that_is_kept_once():
    kept = InfiltrationTestFactory()
    row = InfiltrationTestFactory(pavement=kept.pavement)
    mark_double(row, kept=kept, why="same sheet", **NOBODY)
    assert InfiltrationTest.objects.standing().get() == kept
    with pytest.raises(CannotBeVoided, match="pointed to another already"):
        mark_double(row, kept=InfiltrationTestFactory(), why="again", **NOBODY)


def test_entry_is_no_double_of_itself():
    row = InfiltrationTestFactory()
    with pytest.raises(CannotBeVoided, match="of itself"):
        mark_double(row, kept=row, why="same sheet", **NOBODY)
