"""A visit whose day was wrong takes along what it saw that day, each by a line of its own."""

from datetime import date

import pytest

from registry.actions.answer_defect import answer_defect
from registry.actions.correct_visit import correct_visit
from registry.actions.refuse_days_ahead import DayAhead
from registry.models import JournalLine, Visit
from registry.models.entry import Change
from tests.actions.plans import NOBODY
from tests.factories import PavementFactory
from tests.visit_rows import DAY, LAST_YEAR, answer, defect_at, visit_at

pytestmark = pytest.mark.django_db
RIGHT = date(2024, 4, 19)


@pytest.fixture
def visit() -> Visit:
    """A visit with an answer to a known defect and one noted anew."""
    lot = PavementFactory()
    known = defect_at(lot, "")
    row = visit_at(lot)
    answer_defect(answer(row, known, area_m2=0.7), seen=None, **NOBODY)
    defect_at(lot, "", first_seen_on=DAY, look={"area_m2": 0.2, "visit": row})
    return row


def correct(visit: Visit, **values: object) -> Visit:
    changes = {
        name: Change(value, "", seen=getattr(visit, name), is_seen_known=True)
        for name, value in values.items()
    }
    return correct_visit(visit, changes=changes, why="wrong day on the sheet", **NOBODY)


def test_new_day_goes_to_its_looks_and_to_what_it_noted_and_to_nothing_else(visit):
    correct(visit, done_on=RIGHT)
    looks = visit.observations.order_by("pk").values_list("seen_on", flat=True)
    assert list(looks) == [RIGHT, RIGHT]
    known, new = visit.pavement.defects.order_by("number")
    assert (known.first_seen_on, new.first_seen_on) == (LAST_YEAR, RIGHT)
    assert known.observations.order_by("seen_on").first().seen_on == LAST_YEAR
    lines = JournalLine.objects.filter(verb="corrected")
    assert sorted(line.subject_kind for line in lines) == [
        "defect", "observation", "observation", "visit",
    ]  # fmt: skip


def test_other_corrections_leave_the_days_alone(visit):
    correct(visit, walked_by="K. Aboah")
    assert set(visit.observations.values_list("seen_on", flat=True)) == {DAY}
    assert JournalLine.objects.filter(verb="corrected").count() == 1


def test_day_that_has_not_come_is_refused_and_nothing_moves(visit):
    with pytest.raises(DayAhead):
        correct(visit, done_on=date(2999, 1, 1))
    visit.refresh_from_db()
    assert visit.done_on == DAY
    assert set(visit.observations.values_list("seen_on", flat=True)) == {DAY}
