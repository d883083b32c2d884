"""The callback book, table 1I: eight callbacks and what became of each.

The table has one date of each; days between, and clocks but that of CB-5, are invented and say so.
"""

import re
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from registry.actions.add_entry import add_entry
from registry.actions.confirm_agreed_date import confirm_agreed_date
from registry.actions.move_signed import move_signed
from registry.actions.receive_callback import receive_callback
from registry.demo.people import CONTRACTOR, Author, Cast
from registry.demo.tables import Line, clock, read_table
from registry.models import AgreedDate, Callback, CallbackAnswer, PanelFinding, Step, Warranty

INVENTED = "The clock of the notice and the days between are invented."
DISPUTED = "CB-5"
ARRIVED = "17:42"


@dataclass(frozen=True)
class Course:
    """What became of a callback: the answer, days from notice to each move, causes by panel."""

    answer: str
    then: tuple[tuple[str, int], ...] = ()
    panels: tuple[str, ...] = ()
    causes: tuple[str, ...] = ()


REMEDIED = ("agreed", "remedy_dated")
COURSES = {
    "CB-1": Course(
        "accepted", (("agreed", 40), ("remedy_dated", 50), ("remedy_done", 219), ("closed", 230)),
        ("D5",), ("too_wet",),
    ),
    "CB-2": Course(
        "accepted_in_part",
        (("agreed", 40), ("remedy_dated", 45), ("remedy_done", 70), ("closed", 80)),
        tuple(f"F{n}" for n in range(1, 7)), ("edge_work",),
    ),
    "CB-3": Course("declined", (("silent", 60), ("closed", 90))),
    "CB-4": Course(
        "declined", (("silent", 60), ("closed", 90)), tuple(f"A{n}" for n in range(1, 6)), ("plow",)
    ),
    "CB-6": Course(
        "goodwill", (("agreed", 40), ("remedy_dated", 50), ("remedy_done", 85), ("closed", 90)),
        ("A9",), ("edge_work",),
    ),
    "CB-7": Course("", (), ("A1",)),
    "CB-8": Course(
        "accepted", (("agreed", 30), ("remedy_dated", 32)), ("C8",), ("edge_work",)
    ),
}  # fmt: skip
BEFORE_ANSWER = (("acknowledged", 3), ("visit_set", 4), ("visited", 14), ("finding_issued", 25))


def take_in_callbacks(cast: Cast, warranties: dict[str, Warranty]) -> dict[str, Callback]:
    """Store the book, CB-5 as received alone; return the callbacks by number."""
    author, made = cast.as_author(CONTRACTOR), {}
    for line in read_table("1I_callbacks"):
        row = _callback(line, warranties[line["job"]])
        receive_callback(row, **author)
        made[row.number] = row
        if row.number != DISPUTED:
            _go_its_course(row, line, COURSES[row.number], author)
    return made


def _callback(line: Line, warranty: Warranty) -> Callback:
    number = line["callback"]
    on = date.fromisoformat(line["notice counted from"])
    is_disputed = number == DISPUTED
    received = clock(date(2024, 4, 26), ARRIVED) if is_disputed else clock(on, "10:00")
    course = COURSES.get(number)
    return Callback(
        pavement=warranty.pavement,
        warranty=warranty,
        contractor=warranty.contractor,
        claimed_for=warranty.owner,
        number=number,
        claim=line["claim"],
        extent=line["extent claimed"],
        received_at=received,
        came_by="mail" if is_disputed else "",
        panels=list(course.panels) if course else [],
        note="" if is_disputed else INVENTED,
        as_written={
            name: plain(line[name])
            for name in ("notice counted from", "in time?", "cause found", "answer", "remedy",
                         "state on 2026-10-15")
        },
    )  # fmt: skip


def confirm_for_owner(agreed: AgreedDate) -> None:
    """Let the owner's side confirm a date: who signed it is invented."""
    confirm_agreed_date(
        agreed,
        due_on=agreed.due_on,
        signed_by="signed for the owner, invented",
        by=None,
        organisation=agreed.callback.claimed_for,
    )


def plain(text: str) -> str:
    """Return a cell without the marks that make it bold on a page."""
    return re.sub(r"\*\*", "", text)


def _go_its_course(row: Callback, line: Line, course: Course, author: Author) -> None:
    begin = date.fromisoformat(line["notice counted from"])

    def move(state: str, days: int, why: str = "") -> None:
        move_signed(row, to_state=state, on=begin + timedelta(days=days), why=why, **author)

    if not course.answer:
        move("acknowledged", 3)
        move("visit_set", 10, line["answer"])
        visit_on = date.fromisoformat(line["answer"].removeprefix("visit set "))
        confirm_for_owner(
            add_entry(AgreedDate(callback=row, step=Step.VISIT, due_on=visit_on), **author)
        )
        return
    for state, days in BEFORE_ANSWER:
        move(state, days)
    for panel in course.panels:
        for cause in course.causes:
            found: dict[str, Any] = {"cause": cause, "confidence": "shown"}
            found |= {"speaks_for": line["cause found"], "found_by": "J. Hollin"}
            add_entry(PanelFinding(callback=row, panel=panel, **found), **author)
    answer = CallbackAnswer(
        callback=row,
        kind=course.answer,
        answered_on=begin + timedelta(days=28),
        remedy=plain(line["remedy"]) if line["remedy"] != "-" else "",
        text=line["answer"],
        signed_by="J. Hollin",
        note=INVENTED,
    )
    add_entry(answer, **author)
    move(course.answer, 28)
    for state, days in course.then:
        move(state, days)
    if row.number == "CB-8":
        due = AgreedDate(callback=row, step=Step.REMEDY, due_on=date(2026, 8, 31))
        confirm_for_owner(add_entry(due, **author))
