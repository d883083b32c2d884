"""Tests are judged from the rows alone: once is enough, and the order of entry never matters."""

from datetime import date

import pytest
from django.test import TestCase

from registry.actions.judge_tests import judge_tests
from registry.models import InfiltrationTest
from tests.factories import InfiltrationTestFactory, SpotFactory

RESULTS = ("pk", "result_value", "result_sign", "use", "doubts")


class TestJudgeTests(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.spot = SpotFactory()
        own = {"spot": cls.spot, "pavement": cls.spot.pavement}
        cls.reading = InfiltrationTestFactory(**own)
        cls.bound = InfiltrationTestFactory(
            **own, started_on=date(2023, 5, 2), seconds=1800.0, ended="stopped"
        )
        cls.elsewhere = InfiltrationTestFactory()

    def test_only_the_pavements_asked_for_are_judged(self):
        assert judge_tests([self.spot.pavement_id]) == 2
        self.elsewhere.refresh_from_db()
        assert (self.elsewhere.result_value, self.elsewhere.computed_at) == (None, None)

    def test_stopped_run_becomes_a_bound_with_its_sign(self):
        judge_tests([self.spot.pavement_id])
        self.bound.refresh_from_db()
        # ASTM C1701's formula for water that is still standing: the rate lies below this.
        assert self.bound.result_sign == "<"
        assert self.bound.result_value == pytest.approx(126870 * 40 / (144 * 1800), rel=1e-4)

    def test_judging_again_changes_nothing(self):
        judge_tests([self.spot.pavement_id])
        before = list(InfiltrationTest.objects.values(*RESULTS))
        assert judge_tests([self.spot.pavement_id, self.spot.pavement_id]) == 0
        assert list(InfiltrationTest.objects.values(*RESULTS)) == before
