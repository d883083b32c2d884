"""Two sets of criteria never hold on one day."""

from datetime import date

import pytest
from django.test import TestCase

from registry.actions.set_criteria import CriteriaOverlap, correct_criteria, set_criteria
from registry.models import Criteria
from registry.models.entry import Change
from tests.factories import CriteriaFactory, PavementFactory

NOBODY = {"by": None, "organisation": None}
FIRST, SECOND = date(2020, 1, 1), date(2024, 1, 1)


class TestSetCriteria(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.old = CriteriaFactory(from_on=FIRST, source_document="permit 1")

    def new(self, **fields):
        given = {"pavement": self.old.pavement, "source_document": "permit 2", "from_on": SECOND}
        return Criteria(**given | fields)

    def test_set_that_would_hold_beside_another_is_refused_with_its_name(self):
        with pytest.raises(CriteriaOverlap, match="permit 1"):
            set_criteria(self.new(), **NOBODY)
        assert Criteria.objects.get() == self.old

    def test_old_set_ends_on_the_day_the_new_one_begins_where_asked(self):
        new = set_criteria(self.new(), ends_old=True, **NOBODY)
        self.old.refresh_from_db()
        assert self.old.to_on == SECOND
        assert [Criteria.objects.on(day).get() for day in (FIRST, SECOND)] == [self.old, new]

    def test_a_set_that_began_later_is_not_ended_for_an_earlier_one(self):
        with pytest.raises(CriteriaOverlap):
            set_criteria(self.new(from_on=date(2019, 1, 1)), ends_old=True, **NOBODY)
        self.old.refresh_from_db()
        assert self.old.to_on is None

    def test_sets_of_two_pavements_hold_together(self):
        other = set_criteria(self.new(pavement=PavementFactory()), **NOBODY)
        assert Criteria.objects.on(SECOND).count() == 2 and other.to_on is None

    def test_correction_that_reaches_into_another_set_changes_nothing(self):
        before = set_criteria(self.new(from_on=None, to_on=FIRST), **NOBODY)
        changes = {"to_on": Change(SECOND, "2024-01-01")}
        with pytest.raises(CriteriaOverlap):
            correct_criteria(before, changes=changes, why="letter", **NOBODY)
        before.refresh_from_db()
        assert before.to_on == FIRST
