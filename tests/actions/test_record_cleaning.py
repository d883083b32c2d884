"""A cleaning is stored with what it covered and missed; nothing of another pavement."""

import pytest
from django.test import TestCase

from registry.actions.record_cleaning import CannotRecordCleaning, record_cleaning
from registry.models import Cleaning, JournalLine, PavementStanding
from tests.factories import CleaningFactory, InfiltrationTestFactory, PanelFactory, PavementFactory


class TestRecordCleaning(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.lot = PavementFactory()
        cls.panel, cls.other = (PanelFactory(pavement=cls.lot) for _ in range(2))
        cls.reading = InfiltrationTestFactory(pavement=cls.lot)

    def record(self, **parts):
        row = CleaningFactory.build(pavement=self.lot)
        return record_cleaning(row, by=None, organisation=None, **parts)

    def test_panels_covered_and_missed_are_kept_with_why(self):
        row = self.record(covered=[self.panel], missed={self.other: "parked car"})
        kept = {(c.panel, c.is_missed, c.why) for c in row.panels.all()}
        assert kept == {(self.panel, False, ""), (self.other, True, "parked car")}
        assert JournalLine.objects.about(row).get().verb == "recorded"

    def test_tests_around_it_are_kept_and_the_condition_follows(self):
        row = self.record(before_tests=[self.reading])
        assert list(row.before_tests.all()) == [self.reading] and not row.after_tests.exists()
        assert PavementStanding.objects.filter(pavement=self.lot).count() == 2

    def test_panel_or_test_of_another_pavement_stores_nothing(self):
        strangers = ({"covered": [PanelFactory()]}, {"missed": {PanelFactory(): "gate shut"}},
                     {"after_tests": [InfiltrationTestFactory()]})  # fmt: skip
        for parts in strangers:
            with pytest.raises(CannotRecordCleaning, match="not on this pavement"):
                self.record(**parts)
        assert not Cleaning.objects.exists() and not JournalLine.objects.exists()
