"""The same run of a sheet typed in twice is found, with what the two do not share."""

from datetime import UTC, datetime

from django.test import TestCase

from registry.gathering.printed_sheets import Difference, typed_twice
from registry.models import InfiltrationTest
from tests.factories import InfiltrationTestFactory, SpotFactory


class TestPrintedSheets(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.spot = SpotFactory()
        cls.first = cls.typed(1)
        cls.second = cls.typed(2, seconds=66.0, as_written={"seconds": "1:06"})

    @classmethod
    def typed(cls, hour, **fields):
        at = datetime(2024, 5, 1, hour, tzinfo=UTC)
        own = {"spot": cls.spot, "pavement": cls.spot.pavement, "entered_at": at}
        return InfiltrationTestFactory(**own, **fields)

    def found(self):
        return typed_twice(InfiltrationTest.objects.select_related("spot"))

    def test_the_first_typing_is_kept_and_the_readings_that_differ_are_named(self):
        [pair] = self.found()
        assert (pair.first, pair.second, pair.is_held) == (self.first, self.second, False)
        assert pair.differences == (Difference("time, s", "60.0", "1:06"),)

    def test_second_that_points_to_the_first_is_held(self):
        InfiltrationTest.objects.filter(pk=self.second.pk).update(double_of=self.first)
        assert self.found()[0].is_held

    def test_void_runs_other_runs_and_other_spots_are_no_double(self):
        InfiltrationTest.objects.filter(pk=self.second.pk).update(run=2)
        InfiltrationTestFactory()
        self.typed(3, void_at=datetime(2024, 6, 1, tzinfo=UTC), void_why="x")
        assert self.found() == ()
