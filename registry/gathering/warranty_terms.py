"""A warranty as arithmetic takes it: parts and last days, holidays, the rule of a notice."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any

from registry.models import HolidayList, Warranty, WarrantyPart
from registry.models.choices import Answer
from registry.placing.faults import NotGiven
from registry.placing.transfer import Transfer, TransferRule, transfer
from registry.placing.warranty import Part, remind_on
from registry.placing.working_days import NoticeRule, WorkCalendar, holiday_list

THE_REST = "the rest"
THE_WHOLE = "the whole"


@dataclass(frozen=True)
class PartWithDay:
    """A part of a warranty beside its last day and the day to be reminded of it."""

    part: Part
    row: WarrantyPart | None
    last_day: date | NotGiven
    remind_on: date | NotGiven


def calendar_of(row: HolidayList | None) -> WorkCalendar | NotGiven:
    """Return the working days of a contract.

    Without a list, or with one that names no days of rest of the week, none can be counted.
    """
    if row is None:
        return NotGiven("The contract’s holiday list is not entered: working days are not counted.")
    if row.weekly_rest is None:
        return NotGiven(
            f"The holiday list “{row}” does not say which days of the week are days of rest: "
            "working days are not counted. Correct the list."
        )
    return holiday_list([date.fromisoformat(day) for day, _ in row.days], row.weekly_rest)


def notice_rule(row: Warranty, *, zone: str) -> NoticeRule:
    """Return how a notice counts as received. `zone` is the site's, where the terms name none."""
    return NoticeRule(
        tz_name=row.notice_zone or zone,
        closes=row.notice_closes,
        working_days_only=row.notice_on_working_days == Answer.YES,
    )


def parts_of(row: Warranty, extra: Iterable[WarrantyPart]) -> tuple[PartWithDay, ...]:
    """Return the cover of the whole and of each part, in the order of their start."""
    rows = [part for part in extra if not part.is_void and part.double_of_id is None]
    name = THE_REST if rows else THE_WHOLE
    whole = Part(name, None, row.start_on, row.years, row.ended_early_on)
    found = [(whole, None)] + [(part_of_row(part), part) for part in rows]
    return tuple(
        PartWithDay(part, own, part.last_day, remind_on(part.last_day, row.remind_days))
        for part, own in found
    )


def part_of_row(row: WarrantyPart) -> Part:
    """Return a part as arithmetic takes it."""
    panels = frozenset(row.panels)
    return Part(row.name, panels, row.start_on, row.years, row.ended_early_on)


def last_day_of(row: WarrantyPart | None) -> date | NotGiven:
    """Return the last day of the cover of a part, or why there is none."""
    if row is None:
        return NotGiven("none entered")
    for entry, called in ((row, f"“{row}”"), (row.warranty, "its warranty")):
        if entry.is_void:
            return NotGiven(f"{called} is void")
        if entry.double_of_id is not None:
            return NotGiven(f"{called} is a double of another")
    return part_of_row(row).last_day


def last_days(parts: Iterable[PartWithDay]) -> list[date]:
    """Return the last days that are known."""
    return [one.last_day for one in parts if isinstance(one.last_day, date)]


def transfer_to(row: Warranty, *, sold_on: date, today: date) -> Transfer | NotGiven:
    """Say whether the cover goes over to a buyer, by the rule of its own terms."""
    if not row.transfer_rule:
        return NotGiven("The terms say nothing of a sale, or nobody entered it.")
    given: dict[str, Any] = {"notice_days": row.transfer_days}
    given["noticed_on"] = row.transfer_noticed_on
    return transfer(TransferRule(row.transfer_rule), sold_on, today=today, **given)
