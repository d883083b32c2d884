"""A run is stored as read, judged at once, and never twice."""

import pytest
from django.core.exceptions import ValidationError
from django.test import TestCase

from registry.actions.record_infiltration_test import (
    CannotBeRecorded,
    record_infiltration_test,
    record_infiltration_tests,
)
from registry.models import InfiltrationTest, JournalLine
from tests.factories import InfiltrationTestFactory, PersonFactory, SpotFactory


class TestRecordInfiltrationTest(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.spot, cls.by = SpotFactory(stratum="field"), PersonFactory()

    def run_of(self, **fields):
        given = {"spot": self.spot, "pavement": self.spot.pavement}
        return InfiltrationTestFactory.build(**given | fields)

    def record(self, row):
        return record_infiltration_test(row, by=self.by, organisation=None)

    def test_run_is_stored_with_its_rate_and_its_line(self):
        row = self.record(self.run_of())
        # ASTM C1701: I = K M / (D^2 t), K = 126 870 for lb, in and s: 126870 x 40 / (144 x 60).
        assert row.result_value == pytest.approx(587.361, abs=1e-3)
        assert (row.entered_by, row.computed_at is not None) == (self.by, True)
        assert JournalLine.objects.about(row).get().verb == "recorded"

    def test_same_run_is_in_the_record_once_unless_it_says_of_what_it_is_a_double(self):
        first = self.record(self.run_of())
        with pytest.raises(CannotBeRecorded, match="in the record already"):
            self.record(self.run_of())
        self.record(self.run_of(double_of=first))
        self.record(self.run_of(run=2))
        assert InfiltrationTest.objects.count() == 3

    def test_spot_of_another_pavement_is_refused(self):
        with pytest.raises(CannotBeRecorded, match="not on this pavement"):
            self.record(self.run_of(spot=SpotFactory()))

    def test_reading_that_no_ring_gives_is_refused(self):
        with pytest.raises(ValidationError, match="beyond what any ring test can give"):
            self.record(self.run_of(ring=300.0))

    def test_many_runs_come_in_together_or_not_at_all(self):
        rows = [self.run_of(), self.run_of(run=2), self.run_of(run=2)]
        with pytest.raises(CannotBeRecorded):
            record_infiltration_tests(rows, by=self.by, organisation=None)
        assert not InfiltrationTest.objects.exists()
        rows = [self.run_of(), self.run_of(run=2)]
        assert record_infiltration_tests(rows, by=self.by, organisation=None) == 2
        assert not InfiltrationTest.objects.filter(computed_at=None).exists()

    def test_runs_of_two_pavements_are_a_programmers_error(self):
        other = SpotFactory()
        rows = [self.run_of(), self.run_of(spot=other, pavement=other.pavement)]
        with pytest.raises(ValueError, match="several pavements"):
            record_infiltration_tests(rows, by=self.by, organisation=None)
