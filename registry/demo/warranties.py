"""Warranties of the contractor's pavements (table 1A), with the terms that table 1J tells of.

Only the contract of H-2306 is told of beyond its years: notice, clocks, holidays.
"""

from datetime import date, time

from registry.actions.add_entries import add_entries
from registry.actions.add_entry import add_entry
from registry.actions.move_signed import move_signed
from registry.demo.ground import GROUNDS
from registry.demo.people import CONTRACTOR, Author, Cast
from registry.demo.tables import Line, day, read_table
from registry.models import (
    AfterEvent,
    AnswerLimit,
    HolidayList,
    Pavement,
    Step,
    Warranty,
    WarrantyPart,
)

DISPUTED = "H-2306"
TODAY = date(2026, 10, 15)
"""The day of which the tables tell."""
HOLIDAYS = [["2024-05-27", ""], ["2024-07-04", ""], ["2024-09-02", ""]]
REPLACED = [f"C{n}" for n in range(5, 12)] + [f"D{n}" for n in range(8, 12)]
LIMITS = (
    (Step.ACKNOWLEDGE, 5, "working", AfterEvent.COUNTED),
    (Step.VISIT, 15, "working", AfterEvent.COUNTED),
    (Step.FINDING, 30, "calendar", AfterEvent.VISITED),
    (Step.REPLY, 20, "working", AfterEvent.FINDING),
    (Step.EVALUATOR, 15, "working", AfterEvent.DISPUTED),
    (Step.REMEDY, 90, "calendar", AfterEvent.SETTLED),
)
EXCLUSIONS = [
    ["deicer", "deicer in the first winter"],
    ["steel_edge", "steel edge without shoes"],
    ["early_traffic", "traffic before release"],
]
OWNERS = {"R. Ainslow (person)": "R. Ainslow", "D. Perrin, then M. Osei": "D. Perrin"}


def give_warranties(cast: Cast, pavements: dict[str, Pavement]) -> dict[str, Warranty]:
    """Store a warranty for each job, with its moves; return them by job number."""
    author = cast.as_author(CONTRACTOR)
    holidays = add_entry(
        HolidayList(
            organisation=cast[CONTRACTOR],
            name="Contract of H-2306",
            days=HOLIDAYS,
            rest_days=[5, 6],
            note="The table lists the days of 2024 alone, without their names.",
        ),
        **author,
    )
    keys = {ground.job: ground.key for ground in GROUNDS if ground.job}
    made = {}
    for line in read_table("1A_pavements"):
        job = line["job"]
        row = _warranty(line, pavements[keys[job]], cast)
        if job == DISPUTED:
            _terms_of_dispute(row, holidays)
        made[job] = add_entry(row, **author)
        _moves(row, line, author)
    _add_limits(made[DISPUTED], author)
    return made


def _warranty(line: Line, pavement: Pavement, cast: Cast) -> Warranty:
    written = line["owner at completion"]
    owner = cast.organisations.get(OWNERS.get(written, written))
    if owner is None and line["note"] == "public":
        owner = next((o for n, o in cast.organisations.items() if n.startswith(written)), None)
    row = Warranty(
        pavement=pavement,
        contractor=cast[CONTRACTOR],
        owner=owner,
        given_to=written,
        number=line["job"],
        start_event="substantial completion",
        start_on=day(line["substantial completion"]),
        years=int(line["warranty yr"]),
        notice_zone="America/New_York",
        as_written={"start_on": line["substantial completion"], "last day": line[LAST]},
    )
    if line["job"] == "H-2502":
        row.transfer_rule, row.transfer_days = "by_notice", 30
        row.note = (
            "Sold 2026-03-31. Whether the buyer gave notice of it is not known; that 30 days are "
            "given for it is invented."
        )
    return row


LAST = "last day of warranty"


def _terms_of_dispute(row: Warranty, holidays: HolidayList) -> None:
    row.notice_form = "in writing, e-mail too"
    row.notice_closes, row.notice_days = time(17), 30
    row.holiday_list = holidays
    row.exclusions = EXCLUSIONS
    row.dispute_path = "The owner may name an evaluator, who was not the tester at acceptance."
    row.note = "A late finding has no penalty; the owner may then appoint an evaluator at once."


def _moves(row: Warranty, line: Line, author: Author) -> None:
    """Move it as the years went by, up to the day of the tables."""
    start, last = day(line["substantial completion"]), date.fromisoformat(line[LAST])
    move_signed(row, to_state="running", on=start, **author)
    if line["job"] == DISPUTED:
        move_signed(
            row, to_state="part_renewed", on=date(2025, 6, 6), signed_by="J. Hollin", **author
        )
        last = date(2026, 6, 5)
    if last < TODAY:
        move_signed(row, to_state="ended", on=last, **author)


def _add_limits(row: Warranty, author: Author) -> None:
    add_entries(
        [
            AnswerLimit(warranty=row, step=step, days=days, counting=counting, after=after)
            for step, days, counting, after in LIMITS
        ],
        **author,
    )
    add_entry(
        WarrantyPart(
            warranty=row,
            name="replaced panels",
            panels=REPLACED,
            panels_text="C5-C11, D8-D11",
            start_on=date(2025, 6, 6),
            years=1,
            because="new cover on the panels replaced in May 2025",
        ),
        **author,
    )
