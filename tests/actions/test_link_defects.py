"""What one defect is to another, as a person decided. Common practice, no source."""

from datetime import date

import pytest

from registry.actions.link_defects import CannotLink, link_defects
from registry.defects import CannotMove
from registry.models import Defect, DefectLink, JournalLine
from tests.factories import DefectFactory, PavementFactory, PersonFactory

pytestmark = pytest.mark.django_db
ON = date(2024, 5, 2)


@pytest.fixture
def two():
    lot = PavementFactory()
    return DefectFactory(pavement=lot), DefectFactory(pavement=lot)


def link(row: Defect, other: Defect, relation: str, why: str = "") -> DefectLink:
    return link_defects(
        row, relation=relation, other=other, on=ON, why=why, by=PersonFactory(), organisation=None
    )


@pytest.mark.parametrize("relation", ["part_of", "grew_into"])
def test_case_45_what_is_part_of_another_is_open_no_more_and_the_other_goes_on(two, relation):
    row, other = two
    made = link(row, other, relation, "one hole now")
    row.refresh_from_db(), other.refresh_from_db()
    assert (row.state, other.state) == ("part_of", "noted")
    assert list(Defect.objects.open()) == [other]
    assert (made.on, made.why) == (ON, "one hole now") and made.by is not None
    assert row.moves.last().why == "one hole now"


def test_the_same_noted_twice_is_a_double_that_points_to_the_one_kept(two):
    row, other = two
    link(row, other, "same_as")
    row.refresh_from_db()
    assert row.double_of == other
    assert list(Defect.objects.standing()) == [other]
    assert Defect.objects.count() == 2, "nothing is deleted"


def test_case_43_what_recurs_stays_a_defect_of_its_own(two):
    row, other = two
    link(row, other, "recurs")
    row.refresh_from_db()
    assert (row.state, row.double_of) == ("noted", None)
    assert Defect.objects.open().count() == 2
    line = JournalLine.objects.about(row).get(verb="linked")
    assert line.changes["link"][1] == f"{row} recurs at the place of {other}"


def test_what_cannot_be_linked_is_refused_in_words(two):
    row, other = two
    with pytest.raises(CannotLink, match="on another pavement"):
        link(row, DefectFactory(), "recurs")
    with pytest.raises(CannotLink, match="to itself"):
        link(row, row, "recurs")
    link(row, other, "recurs")
    for first, second in ((row, other), (other, row)):
        with pytest.raises(CannotLink, match="linked already"):
            link(first, second, "part_of")
    assert DefectLink.objects.count() == 1


def test_link_that_the_state_does_not_allow_leaves_nothing_behind(two):
    row, other = two
    Defect.objects.filter(pk=row.pk).update(state="closed")
    with pytest.raises(CannotMove, match="“closed”"):
        link(row, other, "part_of")
    assert not DefectLink.objects.exists()
