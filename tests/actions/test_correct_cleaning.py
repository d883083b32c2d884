"""A cleaning is put right with its panels and tests, by lines; what is derived follows at once."""

from datetime import date

import pytest
from django.test import TestCase

from registry.actions.correct_cleaning import Named, correct_cleaning
from registry.actions.correct_entry import CannotBeCorrected
from registry.actions.judge_tests import judge_tests
from registry.actions.record_cleaning import CannotRecordCleaning, record_cleaning
from registry.actions.refresh_standing import refresh_standings
from registry.gathering.condition import condition_of
from registry.models import Cleaning, JournalLine
from registry.models.cleaning import named_with
from registry.models.entry import Change
from tests.factories import (
    CleaningFactory,
    CriteriaFactory,
    InfiltrationTestFactory,
    PanelFactory,
    SpotFactory,
)

WHY = "the sheet says so"
NOBODY = {"by": None, "organisation": None, "why": WHY}


class TestCorrectCleaning(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.lot = CriteriaFactory().pavement
        cls.a, cls.b = (PanelFactory(pavement=cls.lot, name=name) for name in ("A1", "A10"))
        spots = [SpotFactory(pavement=cls.lot, panel=p, stratum="field") for p in (cls.a, cls.b)]
        own = {"pavement": cls.lot, "rain_within_24_h": "no"}
        cls.low = InfiltrationTestFactory(
            spot=spots[0], started_on=date(2023, 5, 2), seconds=900.0, number="T1", **own
        )
        cls.later = InfiltrationTestFactory(spot=spots[1], started_on=date(2023, 7, 2), **own)
        cls.row = record_cleaning(
            CleaningFactory.build(
                pavement=cls.lot, done_on=date(2023, 6, 2), is_restorative=True, covers_all=False
            ),
            covered=[cls.a],
            missed={cls.b: "a parked car"},
            before_tests=[cls.low],
            by=None,
            organisation=None,
        )

    def put(self, *, changes=None, **named):
        return correct_cleaning(self.row, changes=changes or {}, named=Named(**named), **NOBODY)

    def line(self):
        return JournalLine.objects.about(self.row).corrections().get()

    def test_panels_and_tests_are_put_right_by_one_line_of_old_and_new(self):
        self.put(covered=[self.a, self.b], before_tests=[self.low], after_tests=[self.later])
        row = Cleaning.objects.get()
        assert row.panels_told() == ({self.a.pk, self.b.pk}, frozenset())
        assert row.tests_named() == ({self.low.pk}, {self.later.pk})
        assert self.line().changes == {
            "panels covered": ["A1", "A1, A10"],
            "panels missed": ["A10 (a parked car)", ""],
            "after_tests": ["", str(self.later)],
        }
        assert self.line().why == WHY

    def test_columns_and_panels_are_stored_together(self):
        self.put(changes={"passes": Change(2, "2")}, missed={self.b: "a parked car"})
        self.row.refresh_from_db()
        assert self.row.passes == 2
        lines = JournalLine.objects.about(self.row).corrections()
        assert [set(line.changes) for line in lines.order_by("pk")] == [
            {"panels covered", "before_tests"},
            {"passes"},
        ]

    def test_without_any_named_they_stay(self):
        correct_cleaning(self.row, changes={"passes": Change(2, "2")}, named=None, **NOBODY)
        assert self.row.panels.count() == 2
        assert self.row.before_tests.get() == self.low

    def test_what_was_judged_by_it_is_judged_anew_at_once(self):
        """The low reading in A1 stays once A1 was not swept; while swept, the later one stands."""
        self.put(covered=[self.a, self.b], after_tests=[self.later])
        swept = condition_of(self.lot, viewpoint="holder", today=date(2023, 8, 1))
        judge_tests([self.lot.pk])
        refresh_standings([self.lot.pk], today=date(2023, 8, 1))
        before = self.lot.standings.get(viewpoint="holder")
        self.put(covered=[self.b], missed={self.a: "a car"}, after_tests=[self.later])
        after = self.lot.standings.get(viewpoint="holder")
        missed = condition_of(self.lot, viewpoint="holder", today=date(2023, 8, 1))
        assert swept.lowest.on == self.later.started_on and missed.lowest.on == self.low.started_on
        assert before.input_digest != after.input_digest
        assert after.as_of_on > before.as_of_on

    def test_another_hand_in_between_is_told_and_nothing_is_stored(self):
        stands = named_with(self.row)
        self.put(covered=[self.a, self.b])
        with pytest.raises(CannotBeCorrected, match="Somebody else changed its panels"):
            self.put(missed={self.a: "a car"}, stands=stands)
        assert self.row.panels.filter(is_missed=False).count() == 2

    def test_columns_that_somebody_else_corrected_leave_panels_as_they_are(self):
        change = Change(2, "2", seen=5, is_seen_known=True)
        with pytest.raises(CannotBeCorrected, match="Nothing was stored"):
            self.put(changes={"passes": change}, covered=[self.a, self.b])
        assert self.row.panels.filter(is_missed=True).count() == 1
        assert not JournalLine.objects.about(self.row).corrections().exists()

    def test_bad_corrections_are_refused_in_words(self):
        same = {"covered": [self.a], "missed": {self.b: "a parked car"}, "before_tests": [self.low]}
        with pytest.raises(CannotBeCorrected, match="Nothing was changed"):
            self.put(**same)
        with pytest.raises(CannotBeCorrected, match="Both covered and missed: A1"):
            self.put(covered=[self.a], missed={self.a: "a car"})
        with pytest.raises(CannotRecordCleaning, match="not on this pavement"):
            self.put(covered=[PanelFactory()])
        with pytest.raises(CannotBeCorrected, match="Say why"):
            correct_cleaning(self.row, changes={}, named=Named(), **{**NOBODY, "why": " "})
        Cleaning.objects.update(void_at=self.row.entered_at, void_why="twice")
        with pytest.raises(CannotBeCorrected, match="void"):
            self.put()
        assert self.row.panels.count() == 2
