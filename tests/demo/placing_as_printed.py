"""The loaded dispute and callback book: tests that the class of the loaded town takes in."""

from registry.gathering.load_pattern import looks_of, pattern_of, placed_loads
from registry.models import Callback, Pavement

TAUS = {"lag": "0.69", "wait": "0.48", "evaporation": "0.60", "water": "0.02"}
"""Kendall's tau-b of 18 loads with raveling at 6 weeks, as printed with the dispute."""


class PlacingAsPrinted:
    def test_pattern_by_load_is_the_one_printed_with_the_dispute(self):
        lot = Pavement.objects.get(numbers__number="H-2306")
        days = list(lot.placing_days.standing().filter(repair__isnull=True).in_order())
        placed, _ = placed_loads(lot, days)
        first = looks_of(placed.shares, lot.raveled_shares.standing())[0]
        found = pattern_of(placed, first.by_load)
        told = {line.factor.code: f"{line.tau:.2f}" for line in found.lines if line.tau is not None}
        assert {code: told[code] for code in TAUS} == TAUS
        assert len(found.loads) == 18

    def test_every_open_callback_has_a_next_step_with_its_side_and_day(self):
        """Table 1I: CB-7 waits for a visit on 2026-10-20, CB-8 for its remedy by 2026-08-31."""
        rows = Callback.objects.open()
        told = {row.number: (row.next_step, row.next_side, str(row.next_due_on)) for row in rows}
        assert told == {
            "CB-7": ("visit", "contractor", "2026-10-20"),
            "CB-8": ("remedy", "contractor", "2026-08-31"),
        }
