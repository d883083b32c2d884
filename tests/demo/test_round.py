"""Rounds of the town's own crews: what can be placed is placed, and each refusal names its rule."""

import json
import tempfile
from datetime import date
from io import StringIO
from pathlib import Path

from django.core.management import call_command
from django.test import TestCase

from registry.models import WorkOrder
from registry.planning.order_moves import TO_DATE
from registry.planning.rules import Rule

TOWN = "Town of Sedgewater, Streets & Water"
IN_SEPTEMBER, IN_DECEMBER = date(2026, 9, 14), date(2026, 12, 7)


class TestRoundsOfTown(TestCase):
    """What is left of the week of September 2026: half of the library's bays, and the path.

    Two orders are dated for December; a round of September leaves them where they are.
    """

    @classmethod
    def setUpTestData(cls):
        call_command("load_demo", stdout=StringIO())

    def planned(self, first_on, days):
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "round.json"
            call_command(
                "plan_round",
                organisation=TOWN,
                first_on=first_on.isoformat(),
                days=days,
                iterations=200,
                json=path,
                stdout=StringIO(),
            )
            return json.loads(path.read_text(encoding="utf-8"))

    def test_everything_is_placed_in_the_week_with_its_extra_shifts(self):
        """On Monday the sweeping crew begins at 05:00, on Sunday at 06:00; the library is shut."""
        data = self.planned(IN_SEPTEMBER, 7)
        self.assertEqual(data["broken_rules"], [])
        self.assertEqual(data["left_out"], [])
        open_orders = WorkOrder.objects.standing().filter(
            organisation__name=TOWN, state__in=TO_DATE, sweeper__name=TOWN
        )
        placed = {
            stop["ref"]
            for day in data["crew_days"]
            for stop in day["stops"]
            if stop["kind"] == "work"
        }
        of_another_day = open_orders.filter(state="dated", dated_for__gt=date(2026, 9, 20))
        self.assertEqual(of_another_day.count(), 2)
        here = open_orders.exclude(pk__in=of_another_day).values_list("number", flat=True)
        self.assertEqual(placed, set(here))

    def test_library_is_refused_by_its_hours_where_no_shift_begins_early(self):
        """It opens its bays until 08:00 on weekdays; shifts of the week begin at 07:00."""
        data = self.planned(IN_DECEMBER, 5)
        self.assertEqual(data["broken_rules"], [])
        library = WorkOrder.objects.get(pavement__name="Library bays", state="in_part").number
        self.assertEqual([left["order"] for left in data["left_out"]], [library])
        self.assertEqual(data["left_out"][0]["asks"], Rule.WINDOW.value)
