"""What was seen is a new defect, or, where a person so says, a look at one that is known."""

from datetime import date

import pytest

from registry.actions.note_defect import CannotNote, note_defect
from registry.models import Defect, DefectLink, DefectMove, Observation, Pavement
from tests.actions.plans import NOBODY
from tests.factories import DefectFactory, PavementFactory

pytestmark = pytest.mark.django_db
FIRST, NEXT = date(2024, 4, 18), date(2025, 4, 20)


@pytest.fixture
def lot() -> Pavement:
    return PavementFactory()


def note(lot: Pavement, relation: str = "", other: Defect | None = None, kind: str = "raveling"):
    row = Defect(pavement=lot, kind=kind, first_seen_on=NEXT)
    look = Observation(seen_on=NEXT, area_m2=1.2, method="tape")
    return note_defect(row, first_look=look, relation=relation, other=other, **NOBODY)


def test_new_one_takes_the_next_number_and_its_first_line(lot):
    DefectFactory(pavement=lot, number=7)
    row = note(lot)
    assert (row.number, row.state) == (8, "noted")
    [move] = DefectMove.objects.filter(defect=row)
    assert (move.from_state, move.to_state, move.on) == ("", "noted", NEXT)
    assert row.observations.get().area_m2 == 1.2


def test_same_is_a_look_at_the_known_one_and_no_second_defect(lot):
    known = DefectFactory(pavement=lot, first_seen_on=FIRST)
    assert note(lot, "same", known) == known
    assert Defect.objects.count() == 1
    assert known.observations.get().seen_on == NEXT
    assert not DefectLink.objects.exists()


@pytest.mark.parametrize(("relation", "state"), [("recurs", "noted"), ("part_of", "part_of")])
def test_recurs_and_part_of_are_new_ones_that_are_linked(lot, relation, state):
    known = DefectFactory(pavement=lot, first_seen_on=FIRST)
    row = note(lot, relation, known)
    row.refresh_from_db()
    assert (row.pk != known.pk, row.state) == (True, state)
    assert DefectLink.objects.get(defect=row, other=known).relation == relation


def test_answer_that_makes_no_sense_is_refused_and_nothing_is_stored(lot):
    known = DefectFactory(pavement=lot, kind="crack", first_seen_on=FIRST)
    elsewhere = DefectFactory(first_seen_on=FIRST)
    for relation, other, words in (
        ("same", None, "which known defect"),
        ("friend", known, "what it is to that one"),
        ("same", known, "another kind or pavement"),
        ("same", elsewhere, "another kind or pavement"),
    ):
        with pytest.raises(CannotNote, match=words):
            note(lot, relation, other)
    assert Defect.objects.count() == 2 and not Observation.objects.exists()
