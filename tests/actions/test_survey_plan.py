"""A plan is measured again, its datum found gone, and marked anew."""

from datetime import date

import pytest
from django.test import TestCase

from registry.actions.survey_plan import CannotSurvey, lose_datum, rebuild_datum, resurvey_plan
from registry.models import JournalLine
from registry.plan.faults import PlanError
from registry.units import System
from tests.actions.plans import NOBODY
from tests.factories import PlanFactory

JOINTS = [("A1-A2", 4.0, 4.0), ("A2-A3", 8.0, 8.01), ("A3-A4", 12.0, 12.0)]
GONE, MARKED = date(2024, 5, 1), date(2024, 6, 1)


class TestSurveyPlan(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.plan = PlanFactory(check_length_m=40.0)

    def survey(self, length_m, joints=JOINTS):
        return resurvey_plan(
            self.plan, check_length_m=length_m, joints=joints, measured_on=GONE,
            measured_by="M. Ferrand", system=System.SI, **NOBODY,
        )  # fmt: skip

    def test_half_a_foot_in_a_hundred_keeps_the_plan_and_more_does_not(self):
        assert self.survey(40.19).keep
        assert not self.survey(40.21).keep
        kept, not_kept = JournalLine.objects.about(self.plan).order_by("pk")
        assert "by M. Ferrand; within 0.5 in 100" in kept.why
        assert not_kept.why.endswith("not within 0.5 in 100: check length")
        assert kept.changes["A2-A3"] == ["8 m", "8.01 m"]

    def test_survey_without_enough_to_compare_is_refused(self):
        with pytest.raises(PlanError, match="three joints"):
            self.survey(40.0, JOINTS[:2])
        type(self.plan).objects.update(check_length_m=None)
        self.plan.refresh_from_db()
        with pytest.raises(CannotSurvey, match="no check length"):
            self.survey(40.0)
        assert not JournalLine.objects.exists()

    def lose(self, plan):
        return lose_datum(plan, on=GONE, why="curb replaced", **NOBODY)

    def rebuild(self, plan, on=MARKED):
        given = {"datum": "nail in the curb", "misfit_m": 0.03, "why": "from two ties"}
        return rebuild_datum(plan, on=on, **given, **NOBODY)

    def test_datum_is_lost_once(self):
        plan = self.lose(self.plan)
        assert plan.datum_lost_on == GONE
        with pytest.raises(CannotSurvey, match="since 2024-05-01"):
            self.lose(plan)

    def test_datum_marked_anew_shows_its_misfit_from_then_on(self):
        plan = self.rebuild(self.lose(self.plan))
        assert (plan.datum, plan.misfit_m, plan.datum_lost_on) == ("nail in the curb", 0.03, None)
        line = JournalLine.objects.about(plan).first()
        assert line.why == "marked anew on 2024-06-01: from two ties"

    def test_only_a_lost_datum_is_marked_anew_and_not_before_it_was_lost(self):
        with pytest.raises(CannotSurvey, match="not known to be gone"):
            self.rebuild(self.plan)
        with pytest.raises(CannotSurvey, match="found gone later"):
            self.rebuild(self.lose(self.plan), on=date(2024, 4, 30))
