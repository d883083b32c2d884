"""Tests are judged from the rows alone: once is enough, and the order of entry never matters."""

from datetime import UTC, date, datetime

import pytest
from django.test import TestCase

from registry.actions.judge_tests import judge_tests
from registry.models import InfiltrationTest
from tests.factories import CleaningFactory, InfiltrationTestFactory, SpotFactory

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

    def test_wash_at_the_very_instant_of_a_test_counts_as_after_it_and_an_hour_before_does_not(
        self,
    ):
        for minute, is_washed in ((0, False), (30, True)):
            began = datetime(2024, 5, 6, 9, minute, tzinfo=UTC)
            row = InfiltrationTestFactory(
                spot=self.spot,
                pavement=self.spot.pavement,
                started_on=began.date(),
                started_at=began,
                rain_within_24_h="no",
            )
            wash = CleaningFactory(
                pavement=self.spot.pavement,
                done_on=began.date(),
                started_at=began.replace(minute=0),
                method="wash_and_vacuum",
            )
            judge_tests([self.spot.pavement_id])
            row.refresh_from_db()
            codes = {doubt["code"] for doubt in row.doubts}
            assert ("washed_within_48h" in codes) == is_washed, minute
            wash.delete()
            row.delete()


def test_second_run_that_gives_quite_another_rate_is_asked_about(db):
    spot = SpotFactory()
    own = {"spot": spot, "pavement": spot.pavement, "started_on": date(2023, 5, 1)}
    first = InfiltrationTestFactory(**own, run=1)
    second = InfiltrationTestFactory(**own, run=2, seconds=first.seconds * 1.2)
    judge_tests([spot.pavement_id])
    first.refresh_from_db()
    second.refresh_from_db()
    assert "runs_differ" in {doubt["code"] for doubt in second.doubts}
    assert "runs_differ" not in {doubt["code"] for doubt in first.doubts}
    assert (first.use, second.use) == ("trend", "trend")
