"""A placing day gathered into its sheets, from rows of the demonstration's dispute."""

from datetime import date, datetime
from zoneinfo import ZoneInfo

import pytest
from django.utils import timezone

from registry.models import Cover
from registry.sheets.box import SheetError
from registry.sheets.contents import Heading
from registry.sheets.placing_sheets import cover_content, day_to_print, load_content
from registry.units import System
from tests.factories import PavementFactory
from tests.placing_factories import LoadFactory, PlacingDayFactory
from tests.placing_rows import north_lot

NEW_YORK = ZoneInfo("America/New_York")
FEET = Heading("LOAD SHEET", System.INCH_POUND, date(2026, 5, 11))
METRES = Heading("LOAD SHEET", System.SI, date(2026, 5, 11))


def test_day_of_a_date_or_the_newest(db):
    pavement = PavementFactory()
    old = PlacingDayFactory(pavement=pavement, placed_on="2023-08-22")
    new = PlacingDayFactory(pavement=pavement, placed_on="2023-08-24")
    PlacingDayFactory(
        pavement=pavement, placed_on="2023-08-26", void_at=timezone.now(), void_why="x"
    )
    assert day_to_print(pavement, None) == new and day_to_print(pavement, date(2023, 8, 22)) == old
    with pytest.raises(SheetError, match="no placing day of 2023-08-23"):
        day_to_print(pavement, date(2023, 8, 23))
    with pytest.raises(SheetError, match=r"no placing day\. Write it down first"):
        day_to_print(PavementFactory(), None)


@pytest.mark.django_db
class TestOneDay:
    @pytest.fixture
    def day(self):
        pavement = north_lot(with_shares=False)
        return day_to_print(pavement, date(2023, 8, 22))

    def test_limits_are_printed_in_the_units_of_the_sheet(self, day):
        day.drying_limit_kg_m2_h, day.must_match = 0.4882, "TP-2"
        feet = dict(load_content(day, FEET).limits)
        assert feet == {
            "must match test panel no.": "TP-2",
            "thickness": "6.00 in",
            "cover within, min": "20",
            "batch to discharge, min": "",
            "w/cm at most": "0.33",
            "design": "",
            "density": "121.5 ± 5 lb/ft³",
            "evaporation at most": "0.100 lb/ft²/h",
        }
        metres = dict(load_content(day, METRES).limits)
        assert metres["thickness"] == "152.4 mm" and metres["density"] == "1946 ± 80.1 kg/m³"

    def test_loads_stand_in_their_order_as_the_table_has_them(self, day):
        rows = load_content(day, FEET).rows
        assert [row.load for row in rows] == ["1", "2", "3", "4", "5", "5", "6", "7", "8", "9"]
        seven = rows[7]
        assert (seven.ticket, seven.batched, seven.discharged) == (
            "T-88137", "08:40", ("09:20", "09:34"),
        )  # fmt: skip
        assert (seven.water, seven.density, seven.lane, seven.limits) == (
            "2", "118.9", "C", ("51.0", "81.5"),
        )  # fmt: skip
        assert seven.covered == ("09:54", "10:11")

    def test_a_further_lane_is_a_row_with_the_load_no_and_its_feet_alone(self, day):
        first, further = load_content(day, FEET).rows[4:6]
        assert (first.lane, first.limits) == ("A", ("122.0", "132.0"))
        assert (further.lane, further.limits, further.ticket) == ("C", ("0.0", "20.5"), "")

    def test_void_loads_are_not_printed(self, day):
        LoadFactory(placing_day=day, number="99", void_at=timezone.now(), void_why="typed twice")
        assert "99" not in [row.load for row in load_content(day, FEET).rows]

    def test_card_counts_elapsed_hours_over_the_change_of_the_clocks(self, db):
        """To winter time on 2023-11-05 in New York: 168 h later the clock says an hour less."""
        day = PlacingDayFactory(placed_on=date(2023, 11, 4), covered_hours_required=168)
        day.pavement.site.time_zone = "America/New_York"
        last = datetime(2023, 11, 4, 22, 30, tzinfo=NEW_YORK)
        Cover.objects.create(placing_day=day, panels_text="A1-A4", last_at=last)
        (strip,) = cover_content(day, FEET).strips
        assert strip.last_covered == "2023-11-04 22:30"
        assert strip.not_before == "2023-11-11 21:30" and strip.required == "168 h"
        assert strip.hourly == ("23:30", "00:30", "01:30", "01:30", "02:30", "03:30")

    def test_day_without_a_cover_has_one_empty_card(self, db):
        day = PlacingDayFactory(covered_hours_required=96)
        (strip,) = cover_content(day, FEET).strips
        assert (strip.panels, strip.required, strip.hourly) == ("", "96 h", ())

    def test_strip_without_a_clock_says_no_hour(self, db):
        day = PlacingDayFactory(covered_hours_required=168)
        Cover.objects.create(placing_day=day, panels=["A1", "A2"])
        (strip,) = cover_content(day, FEET).strips
        assert (strip.panels, strip.last_covered, strip.not_before) == ("A1, A2", "", "")
