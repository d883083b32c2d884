"""Nasty cases of tests, from a file to what is asked, what is stored and what the page says.

The rule of each by itself is held in tests/measuring/test_cases_of_tests.py. Water, 30 s, 24 h and
two runs a day: ASTM C1701/C1701M, from memory; the rest is common practice, no source.
"""

import html
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from django.test import TestCase
from django.urls import reverse

from registry.actions.import_records import import_records
from registry.gathering.spot_days import spot_days
from registry.models import InfiltrationTest
from tests.exchange.folders import folder, pavement, run, sweep
from tests.factories import MembershipFactory

ON, NEXT = "2023-05-01T10:00", "2023-05-02T08:00"
LB = {"ring_mm": "", "water_kg": "", "prewet_kg": "", "ring_in": "12.00", "prewet_lb": "8"}


def spot(point, **changes):
    return run(point=point, **{"started_at": ON, **changes})


RUNS = (
    spot("T1"),
    spot("T1", started_at=NEXT),
    spot("T2", run="1"),
    spot("T2", run="2", started_at="2023-05-01T10:05", seconds="110", prewet_seconds=""),
    spot("T3", run="1"),
    spot("T3", run="2", started_at="2023-05-01T11:00"),
    spot("T3", run="3", started_at="2023-05-01T12:00"),
    spot("T4", seconds="1800", ended="stopped"),
    spot("T5", seconds="1800", ended="stopped", note="2.3 kg left."),
    spot("T8", ended="too_fast", seconds="20", water_kg="18", prewet_seconds="10"),
    spot("T9a", prewet_seconds="30.0", water_kg="18", seconds="60"),
    spot("T9b", prewet_seconds="29.9", water_kg="18", seconds="60"),
    spot("T10", prewet_seconds="57", water_kg="18", seconds="300"),
    spot("T13", **LB, water_lb="3.6"),
    spot("T18a", rain_within_24_h="yes"),
    spot("T18b", rain_within_24_h=""),
    spot("T19", started_at="2023-06-01"),
    spot("T20", started_at="2022-05-02T10:00", note="Acceptance."),
    spot("T20", seconds="90"),
    spot("T24", started_at="2022-05-02T10:00", seconds="602.5"),
    spot("T24"),
    spot("T25", method="quick_pour"),
)
CASES = [
    ("01", "T1", 1, "looked_at", "tested less than 24 h before"),
    ("03", "T3", 2, "looked_at", "This is run 3 at this spot on one day; the standard allows two"),
    ("08", "T8", 0, "bound", "Look for a core hole, crack or open joint in the ring"),
    ("09", "T9a", 0, "trend", "After a prewet of 30 s the test takes 3.6 kg; 18 kg was poured"),
    ("10", "T10", 0, "trend", "After a prewet of 57 s the test takes 3.6 kg; 18 kg was poured"),
    ("13", "T13", 0, "looked_at", "3.6 lb is no pour of the method, but 3.6 kg is"),
    ("18", "T18a", 0, "looked_at", "Rain ended less than 24 h before the test"),
    ("18", "T18b", 0, "trend", "Dry is not shown"),
    ("19", "T19", 0, "looked_at", "cleaned the same day and nobody wrote which came first"),
    ("20", "T20", 1, "trend", "The rate is 134 % of as-built"),
    ("24", "T24", 1, "trend", "The rate rose 5.0 times and no cleaning is logged between"),
]


class TestCasesOutOfAFile(TestCase):
    """One file of all cases, brought in once."""

    @classmethod
    def setUpTestData(cls):
        cls.member = MembershipFactory()
        rows = {"runs": RUNS, "sweeps": (sweep(done_at="2023-06-01", method="wash_and_vacuum"),)}
        with TemporaryDirectory() as path:
            source = folder(Path(path), pavements=(pavement(),), **rows)
            batch = import_records(source, organisation=cls.member.organisation).batch
        cls.asked = [f"{d['message']} {d['mend']}" for d in batch.doubts]

    def runs(self, point):
        """Return the runs of a point, oldest first."""
        return list(InfiltrationTest.objects.filter(spot__name=point).in_order())

    def page(self, row):
        """Return what the page of a run says to its keeper."""
        self.client.force_login(self.member.person)
        url = reverse("infiltration_test_page", args=[row.pk])
        return html.unescape(self.client.get(url).content.decode())

    def test_case_is_asked_in_the_import_stored_with_its_use_and_said_on_the_page(self):
        for case, point, nth, use, words in CASES:
            with self.subTest(case=case, point=point):
                row = self.runs(point)[nth]
                assert any(words in text for text in self.asked), self.asked
                assert row.use == use, row.use_reason
                assert words in self.page(row)

    def test_case_02_two_runs_of_a_day_are_one_result_and_both_lines_are_kept(self):
        rows = self.runs("T2")
        (day,) = spot_days(rows)
        rates = [row.result_rate_mm_h for row in rows]
        assert len(rows) == 2 and day.values == ((pytest.approx(sum(rates) / 2), ""),)
        assert [row.use for row in rows] == ["trend", "trend"]

    def test_case_04_and_05_stopped_run_keeps_its_sign_and_an_estimate_beside_it(self):
        (bare,), (weighed,) = self.runs("T4"), self.runs("T5")
        for row in (bare, weighed):
            assert (row.use, row.result_sign) == ("bound", "<")
        assert bare.result_estimate is None
        # N3: 1.3 of 3.6 kg went through in 1800 s.
        assert weighed.result_estimate == pytest.approx(weighed.result_value * 1.3 / 3.6)
        said = self.page(weighed)
        assert "<\N{NO-BREAK SPACE}" in said or "< " in said
        assert "Estimate from the water left, not to the standard" in said

    def test_case_09_prewet_under_30_s_takes_18_kg_without_a_doubt(self):
        (row,) = self.runs("T9b")
        assert row.use == "trend" and "After a prewet of" not in self.page(row)

    def test_case_13_the_number_stays_as_written_and_nothing_is_mended(self):
        (row,) = self.runs("T13")
        assert (row.system, row.water) == ("inch_pound", 3.6)

    def test_case_25_quick_pour_joins_no_day_of_the_ring(self):
        (row,) = self.runs("T25")
        assert row.use == "looked_at" and spot_days([row]) == ()
        assert "not to standard" in self.page(row)
