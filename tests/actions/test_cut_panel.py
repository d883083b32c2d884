"""A saw cut ends a panel in two parts; the concrete and its placing day go on."""

from datetime import date

import pytest
from django.test import TestCase
from shapely import Polygon

from registry.actions.cut_panel import cut_panel
from registry.actions.end_panel import PanelIsOver
from registry.actions.split_defects import CannotSplitDefect
from registry.gathering.defect_place import put_in_place
from registry.models import Defect, JournalLine
from registry.plan.faults import PlanError
from registry.units import System
from tests.actions.plans import NOBODY, PLACED, drawn_lot, panel_of
from tests.visit_rows import defect_at

CUT = date(2024, 8, 4)


class TestCutPanel(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.lot = drawn_lot()
        cls.panel = panel_of(cls.lot, "B1")

    def cut(self, at_m=1.0, across="up", on=CUT):
        return cut_panel(self.panel, on=on, at_m=at_m, across=across, why="main", **NOBODY)

    def test_part_a_lies_on_the_home_side_and_b_beyond_the_line(self):
        home, far = self.cut()
        assert [(p.name, p.up_m, p.length_m) for p in (home, far)] == [
            ("B1a", 0.0, 1.0),
            ("B1b", 1.0, 3.0),
        ]
        assert {p.cut_from for p in (home, far)} == {self.panel}
        assert {(p.placed_on, p.exists_from_on) for p in (home, far)} == {(PLACED, CUT)}

    def test_cut_panel_ends_that_day_with_a_line_naming_its_parts(self):
        self.cut(across="right")
        self.panel.refresh_from_db()
        assert (self.panel.exists_to_on, self.panel.ended_as) == (CUT, "cut")
        line = JournalLine.objects.about(self.panel).get(verb="cut")
        assert line.changes["cut_into"] == ["", "B1a and B1b"]

    def test_line_outside_the_panel_cuts_nothing(self):
        for at_m in (0.0, 4.0, 9.0):
            with pytest.raises(PlanError):
                self.cut(at_m)
        assert panel_of(self.lot, "B1") == self.panel

    def test_panel_is_cut_once_and_not_before_it_was_there(self):
        with pytest.raises((PanelIsOver, PlanError)):
            self.cut(on=PLACED)
        self.cut()
        with pytest.raises((PanelIsOver, PlanError)):
            self.cut(on=date(2025, 1, 1))
        assert self.lot.panels.filter(cut_from=self.panel).count() == 2


def placed_at(lot, place, **fields):
    """A defect with its outline on the plan."""
    row = defect_at(lot, place, **fields)
    put_in_place(row, system=System.SI, on=row.first_seen_on)
    row.save()
    return row


class TestDefectsUnderTheSawLine(TestCase):
    """Case 45: one splits by a saw cut. Extents are not counted twice, and both histories seen."""

    @classmethod
    def setUpTestData(cls):
        cls.lot = drawn_lot()
        cls.panel = panel_of(cls.lot, "B1")
        look = {"area_m2": 2.0, "stones_deep": 2}
        cls.across = placed_at(cls.lot, "B1 · 0.50-1.50 R · 0.50-2.50 U", look=look)

    def cut(self, *defects):
        return cut_panel(
            self.panel, on=CUT, at_m=1.0, across="up", why="main", defects=defects, **NOBODY
        )

    def test_each_side_has_its_piece_to_be_measured_anew_and_the_old_one_is_closed(self):
        home, far = self.cut(self.across)
        self.across.refresh_from_db()
        pieces = Defect.objects.filter(carried_from=self.across).order_by("number")
        assert [(p.number, p.panel, p.place) for p in pieces] == [
            (2, home, "B1a · 0.5-1.5 R · 0.5-1 U"),
            (3, far, "B1b · 0.5-1.5 R · 0-1.5 U"),
        ]
        assert (self.across.state, self.across.is_open) == ("carried_on", False)
        words = "carried on as defect 2 on B1a and as defect 3 on B1b"
        assert self.across.moves.last().why == words
        looks = [p.observations.get() for p in pieces]
        assert [(k.area_m2, k.empties["area_m2"], k.severity) for k in looks] == [
            (None, "nm", "high"), (None, "nm", "high"),
        ]  # fmt: skip
        assert [d.number for d in self.lot.defects.open()] == [2, 3]

    def test_pieces_of_the_outline_make_up_the_whole_and_lie_where_it_lay(self):
        self.cut(self.across)
        pieces = Defect.objects.filter(carried_from=self.across)
        sizes = [Polygon(piece.outline).area for piece in pieces]
        assert sum(sizes) == pytest.approx(2.0, abs=1e-3)  # outlines are kept to the millimetre

    def test_what_the_line_does_not_part_is_refused_and_nothing_is_cut(self):
        beside = placed_at(self.lot, "B1 · 0.50-1.50 R · 2.50-3.50 U")
        nowhere = defect_at(self.lot, "B1")
        for row, words in ((beside, "does not lie on B1a and B1b"), (nowhere, "has no outline")):
            with pytest.raises(CannotSplitDefect, match=words):
                self.cut(row)
            self.panel.refresh_from_db()
        assert panel_of(self.lot, "B1") == self.panel

    def test_without_a_word_of_a_person_it_stays_one(self):
        self.cut()
        assert [d.number for d in self.lot.defects.open()] == [1]
