"""Rows as people type them, and what of an order is hatched on the plan."""

from datetime import date

import pytest
from django.test import TestCase

from registry.gathering.layouts import layout_of
from registry.gathering.order_picture import NoSuchRow, read_rows, swept_areas
from registry.gathering.order_rows import area_of_panels_m2, area_to_do_m2
from registry.models import Panel
from tests.actions.orders import asked
from tests.sheets.rows_of_lot import lot_of

DAY = date(2024, 5, 1)


class TestOrderPicture(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.lot = lot_of(3, 4)
        cls.panels = list(cls.lot.panels.all())

    def test_rows_are_read_by_letter_by_span_and_by_panel(self):
        for text, names in (
            ("A", "A1 A2 A3 A4"),
            ("row b", "B1 B2 B3 B4"),
            ("rows A–B", "A1 A2 A3 A4 B1 B2 B3 B4"),
            ("C2", "C2"),
            ("B3-C1", "B3 B4 C1"),
            ("c2; A1, A1", "A1 C2"),
        ):
            assert [p.name for p in read_rows(text, self.panels)] == names.split(), text

    def test_row_that_is_not_on_the_plan_is_named_back(self):
        for text in ("D", "A-C9", "A1, the far end"):
            with pytest.raises(NoSuchRow, match="names no row or panel"):
                read_rows(text, self.panels)

    def test_panels_of_an_order_are_hatched_and_all_of_a_whole_pavement(self):
        layout = layout_of(self.lot)
        part = asked(self.lot, covers_all=False, panels=self.panels[:2], twice=self.panels[1:2])
        assert [area.is_twice for area in swept_areas(part, layout, DAY)] == [False, True]
        assert len(swept_areas(asked(self.lot), layout, DAY)) == 12
        assert swept_areas(part, None, DAY) == ()

    def test_area_is_as_written_else_of_the_panels_else_of_the_pavement(self):
        part = asked(self.lot, covers_all=False, panels=self.panels[:2])
        assert area_to_do_m2(part) == pytest.approx(2 * (12 * 0.3048) ** 2)
        assert area_to_do_m2(asked(self.lot)) == self.lot.area_m2
        assert area_to_do_m2(asked(self.lot, area_m2=77.0)) == 77.0
        words = asked(self.lot, covers_all=False, rows_text="by the gate")
        assert area_to_do_m2(words) is None

    def test_area_of_a_panel_around_a_corner_is_that_of_its_corners(self):
        corners = [[0, 0], [4, 0], [4, 2], [2, 2], [2, 4], [0, 4]]  # 4 × 4 less 2 × 2, by hand
        panel = Panel(width_m=4, length_m=4, corners=corners)
        assert area_of_panels_m2([panel]) == pytest.approx(12.0)
