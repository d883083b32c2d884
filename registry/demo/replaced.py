"""The panels replaced after the dispute over the north lot: the repair and its placing day."""

from datetime import date

from registry.actions.add_entry import add_entry
from registry.actions.move_signed import move_signed
from registry.demo.people import Author
from registry.demo.placing import us
from registry.demo.tables import clock
from registry.demo.warranties import REPLACED
from registry.models import (
    Callback,
    Cover,
    InfiltrationTest,
    PlacingDay,
    Repair,
    Uncover,
    WarrantyPart,
)
from registry.models.choices import ReadingSystem
from registry.units import Kind


def replace_panels(row: Callback, author: Author) -> None:
    """Store the replacement of eleven panels and its course (table 1J)."""
    assert row.warranty is not None
    part = WarrantyPart.objects.get(warranty=row.warranty, name="replaced panels")
    area = us(1008.0 + 576.0, Kind.AREA)
    repair = Repair(
        pavement=row.pavement,
        callback=row,
        number="CB-5/1",
        reason="warranty",
        method="panel",
        panels=REPLACED,
        panels_text="C5-C11, D8-D11",
        measured_m2=area,
        squared_m2=area,
        out_on=date(2025, 5, 13),
        in_on=date(2025, 5, 14),
        opened_on=date(2025, 6, 6),
        warranty_part=part,
        as_written={"in_on": "2025-05-13/14"},
    )
    add_entry(repair, **author)
    _place_again(repair, author)
    for state, on in (
        ("waiting", date(2024, 10, 2)),
        ("under_way", date(2025, 5, 13)),
        ("done", date(2025, 5, 14)),
        ("curing", date(2025, 5, 14)),
        ("accepted", date(2025, 6, 6)),
    ):
        move_signed(repair, to_state=state, on=on, **author)
    after = InfiltrationTest.objects.filter(number__in=("A-37", "A-38", "A-39"))
    repair.tests_after.set(after)


def _place_again(repair: Repair, author: Author) -> None:
    """Store the placing day of the new concrete: the table tells its date and its panels."""
    placed = PlacingDay(
        pavement=repair.pavement,
        repair=repair,
        number="H-2306 R",
        system=ReadingSystem.INCH_POUND,
        placed_on=date(2025, 5, 14),
        thickness_mm=us(6.0, Kind.SMALL_LENGTH),
        covered_hours_required=168,
        as_written={"thickness_mm": "6.0 in", "covered_hours_required": "7 days"},
        note="The hours of covering are invented; loads and weather were not written down.",
    )
    add_entry(placed, **author)
    given = {"placing_day": placed, "panels": REPLACED, "panels_text": repair.panels_text}
    covered = Cover(**given, note="Invented.")
    covered.first_at = clock(placed.placed_on, "08:12")
    covered.last_at = clock(placed.placed_on, "10:40")
    add_entry(covered, **author)
    bared_at = clock(date(2025, 5, 21), "11:00")
    assert bared_at is not None
    add_entry(Uncover(**given, at=bared_at, note="Invented."), **author)
