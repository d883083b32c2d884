"""What is open at a sale: tests planned, doubts unanswered, dirt not stopped."""

from datetime import date

from django.test import TestCase

from registry.gathering.open_items import open_items
from registry.gathering.open_items import tests_of as runs_of
from tests.factories import DirtSourceFactory, InfiltrationTestFactory, PavementFactory

DOUBTS = [{"code": c, "message": f"Odd: {c}."} for c in ("too_short", "rain")]


class TestOpenItems(TestCase):
    @classmethod
    def setUpTestData(cls):
        own = {"pavement": PavementFactory()}
        cls.lot = own["pavement"]
        cls.planned = InfiltrationTestFactory(**own, state="planned", number="T1")
        cls.odd = InfiltrationTestFactory(
            **own, number="T2", has_open_doubts=True, doubts=DOUBTS, answers={"rain": {}}
        )
        cls.dirt = DirtSourceFactory(**own, detail="north bed")
        InfiltrationTestFactory(**own)
        InfiltrationTestFactory(**own, state="planned", void_at="2024-01-01T00:00Z", void_why="x")
        DirtSourceFactory(**own, stopped_on=date(2024, 5, 1))
        DirtSourceFactory()

    def test_each_open_thing_is_told_once_and_nothing_that_is_over(self):
        assert {item.key for item in open_items(self.lot)} == {
            f"planned-{self.planned.pk}",
            f"doubt-{self.odd.pk}-too_short",
            f"dirt-{self.dirt.pk}",
        }

    def test_doubt_is_taken_over_and_cannot_be_ended_by_a_sale(self):
        endings = {item.key.split("-")[0]: bool(item.ending) for item in open_items(self.lot)}
        assert endings == {"planned": True, "doubt": False, "dirt": True}

    def test_words_say_what_and_where(self):
        told = {item.what for item in open_items(self.lot)}
        assert "Doubt about infiltration test T2: Odd: too_short." in told
        assert "Source of dirt: mulch, north bed" in told

    def test_tests_among_them_are_found_once_each(self):
        assert runs_of(open_items(self.lot)) == {self.planned.pk, self.odd.pk}

    def test_three_queries_however_much_is_open(self):
        with self.assertNumQueries(3):
            open_items(self.lot)
