"""When a pavement is to be tested next: yearly, sooner on watch, by its permit where it has one."""

from datetime import UTC, date, datetime

from django.test import TestCase

from registry.gathering.condition import condition_of
from registry.gathering.due import first_test, months_after, next_test
from registry.measuring.condition_facts import Word
from tests.factories import (
    CriteriaFactory,
    InfiltrationTestFactory,
    PanelFactory,
    PavementFactory,
    SeatFactory,
)

TESTED, TODAY = date(2024, 5, 2), date(2024, 6, 1)


class TestDue(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.lot = PavementFactory()
        cls.reading = InfiltrationTestFactory(pavement=cls.lot, started_on=TESTED, use="trend")
        type(cls.reading).objects.update(result_value=500.0, result_rate_mm_h=12700.0)

    def due(self, word=None):
        found = condition_of(self.lot, viewpoint="holder", today=TODAY)
        if word is not None:
            object.__setattr__(found.word, "word", word)
        return next_test(found)

    def test_a_year_after_the_last_test(self):
        assert self.due(Word.WORKING).on == date(2025, 5, 2)

    def test_six_months_after_it_where_the_word_is_watch(self):
        due = self.due(Word.WATCH)
        assert (due.on, "watch" in due.why) == (date(2024, 11, 2), True)

    def test_permit_says_otherwise_and_is_named(self):
        CriteriaFactory(pavement=self.lot, test_interval_months=3, source_document="permit 7")
        for word in (Word.WORKING, Word.WATCH):
            due = self.due(word)
            assert (due.on, due.why) == (date(2024, 8, 2), "every 3 months by permit 7")

    def test_at_once_where_nobody_ever_tested(self):
        condition = condition_of(PavementFactory(), viewpoint="holder", today=TODAY)
        assert next_test(condition).on == TODAY

    def test_new_pavement_is_tested_after_seven_days_of_curing(self):
        assert first_test(PavementFactory(placed_on=TODAY), None).on == date(2024, 6, 8)
        assert first_test(PavementFactory(), None).on is None

    def test_part_goes_by_the_last_test_of_its_whole(self):
        whole = condition_of(self.lot, viewpoint="holder", today=TODAY)
        due = first_test(PavementFactory(parent=self.lot), whole)
        assert (due.on, "of the whole" in due.why) == (date(2025, 5, 2), True)

    def test_part_of_an_untested_whole_is_due_on_its_first_day(self):
        whole = condition_of(PavementFactory(), viewpoint="holder", today=TODAY)
        part = PavementFactory(placed_on=date(2020, 5, 1))
        SeatFactory(pavement=part, from_at=datetime(2024, 6, 1, 2, tzinfo=UTC))
        assert first_test(part, whole).on == date(2024, 5, 31), "22:00 of the day before there"
        PanelFactory(pavement=part, exists_from_on=date(2024, 6, 15))
        assert first_test(part, whole).on == date(2024, 6, 15)


def test_months_end_with_their_last_day():
    assert months_after(date(2024, 8, 31), 6) == date(2025, 2, 28)
