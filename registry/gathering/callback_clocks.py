"""The clocks of a callback: what is due when, by which rule, what was done, and what follows."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from registry.gathering.callback_rows import CallbackRows
from registry.gathering.warranty_terms import PartWithDay, calendar_of
from registry.models import (
    AfterEvent,
    AgreedDate,
    AnswerLimit,
    Callback,
    CallbackMove,
    Organisation,
    Step,
)
from registry.placing.clocks import Clock, Counting, Due, Limit, clock, due
from registry.placing.faults import NotGiven
from registry.placing.warranty import NoticeTime, Part, notice_time, split_claim
from registry.placing.working_days import Counted, WorkCalendar, holiday_list

DONE_BY = {
    Step.ACKNOWLEDGE: ("acknowledged",),
    Step.VISIT: ("visited",),
    Step.FINDING: ("finding_issued",),
    Step.REPLY: ("agreed", "disputed", "silent"),
    Step.EVALUATOR: ("evaluator_named",),
    Step.REMEDY: ("remedy_done",),
}
"""States whose first day fulfils a step."""

HAPPENED = {
    AfterEvent.VISITED: ("visited",),
    AfterEvent.FINDING: ("finding_issued",),
    AfterEvent.DISPUTED: ("disputed",),
    AfterEvent.SETTLED: ("settled", "agreed"),
}
NO_PANEL = "The claim names no panel; where it lies in this part"
OF_THE_OWNER = frozenset({Step.REPLY})
OF_BOTH = frozenset({Step.EVALUATOR})


@dataclass(frozen=True)
class StepClock:
    """One step with its clock; `side` is "contractor", "owner" or "both".

    limit  of the terms; None where a day was agreed for a step that they do not limit
    """

    step: str
    label: str
    limit: AnswerLimit | None
    clock: Clock
    side: str


def clocks_of(row: Callback, rows: CallbackRows, *, today: date) -> tuple[StepClock, ...]:
    """Return the clock of every limit of the terms, and of every day that both agreed.

    `today` is the day at the place of whoever has to answer.
    """
    calendar = calendar_of(row.warranty.holiday_list if row.warranty else None)
    both = in_force(rows.agreed)
    signed = {step: one.due_on for step, one in both.items()}
    order = list(Step.values)
    found = [_clock(row, one, rows.moves, signed, calendar, today) for one in rows.limits]
    limited = {one.step for one in rows.limits}
    found += [_agreed(one, rows.moves, today) for one in both.values() if one.step not in limited]
    return tuple(sorted(found, key=lambda one: order.index(one.step)))


def in_force(dates: Iterable[AgreedDate]) -> dict[str, AgreedDate]:
    """Return by step the date that both sides signed, the last one that was confirmed.

    What one side says was agreed moves no clock until the other confirms it.
    """
    both = [(one.confirmed_at, one.pk, one) for one in dates if one.confirmed_at is not None]
    return {one.step: one for _, _, one in sorted(both, key=lambda found: found[:2])}


@dataclass(frozen=True)
class SaidDate:
    """A date that one side says was agreed; awaited is the side that has not confirmed it.

    may_confirm  whoever looks acts for that side
    """

    row: AgreedDate
    said_by: str
    awaited: str
    may_confirm: bool = False

    @property
    def words(self) -> str:
        """Return who said it and who did not confirm it."""
        return f"said by {self.said_by}, not confirmed by {self.awaited}"


def said_dates(
    row: Callback, dates: Iterable[AgreedDate], *, viewer: Organisation | None = None
) -> tuple[SaidDate, ...]:
    """Return the dates that wait for the other side; viewer is the side of whoever looks."""
    owner = str(row.claimed_for or "the owner’s side")
    found = []
    for one in dates:
        if one.confirmed_at is None:
            is_ours = one.entered_for_id == row.contractor_id
            said = str(one.entered_for or "nobody named")
            awaited = owner if is_ours else str(row.contractor)
            may = row.is_other_side(one.entered_for_id, viewer)
            found.append(SaidDate(one, said, awaited, may))
    return tuple(found)


def _agreed(one: AgreedDate, moves: Sequence[CallbackMove], today: date) -> StepClock:
    """Return the clock of a day agreed for a step without a limit."""
    label = str(one.get_step_display())
    due_on = Due(one.due_on, one.due_on, f"Agreed: {one.due_on}. The terms have no limit for it.")
    done = day_of(moves, DONE_BY[Step(one.step)])
    return StepClock(
        one.step, label, None, clock(label, due_on, done, today=today), _side(one.step)
    )


def _side(step: str) -> str:
    return "owner" if step in OF_THE_OWNER else "both" if step in OF_BOTH else "contractor"


def _clock(
    row: Callback,
    limit: AnswerLimit,
    moves: Sequence[CallbackMove],
    signed: dict[str, date],
    calendar: WorkCalendar | NotGiven,
    today: date,
) -> StepClock:
    step, label = Step(limit.step), str(limit.get_step_display())
    done = day_of(moves, DONE_BY[step])
    due_on = _due(limit, event_day(row, limit.after, moves), calendar, signed.get(limit.step))
    judged = clock(label, due_on, done, today=today)
    return StepClock(limit.step, label, limit, judged, _side(step))


def _due(
    limit: AnswerLimit,
    event_on: date | None,
    calendar: WorkCalendar | NotGiven,
    signed: date | None,
) -> Due | NotGiven:
    needs_days = limit.counting == Counting.WORKING or limit.to_working_day
    if isinstance(calendar, NotGiven):
        if needs_days:
            return calendar
        calendar = holiday_list((), ())
    rule = Limit(
        limit.days,
        Counting(limit.counting),
        str(limit.get_after_display()),
        to_working_day=limit.to_working_day,
    )
    return due(event_on, rule, calendar, agreed_on=signed)


def event_day(row: Callback, after: str, moves: Sequence[CallbackMove]) -> date | None:
    """Return the day of the event from which a limit counts."""
    if after == AfterEvent.COUNTED:
        return row.counted_on
    return day_of(moves, HAPPENED[AfterEvent(after)])


def day_of(moves: Sequence[CallbackMove], states: Sequence[str]) -> date | None:
    """Return the first day of the states, unless a later move went back behind it."""
    found: date | None = None
    for move in moves:
        if move.is_back and found is not None and move.from_state in states:
            found = None
        elif move.to_state in states and not move.is_back and found is None:
            found = move.on
    return found


def notice_of(
    row: Callback, parts: Sequence[PartWithDay]
) -> list[tuple[Part | NotGiven, tuple[str, ...], NoticeTime | NotGiven]]:
    """Return the panels claimed, by the part that covers them, with whether notice was in time.

    A claim without panels names no part: each one that had begun stands with its own answer.
    """
    if row.counted_on is None:
        return []
    covers = [one.part for one in parts]
    begun = [x for x in covers if x.start_on is None or x.start_on <= row.counted_on] or covers
    if not row.panels and len(begun) > 1:
        return [(part, (NO_PANEL,), _in_time(row, part)) for part in begun]
    groups = split_claim(row.panels or ["the whole"], covers, row.counted_on)
    return [(part, panels, _in_time(row, part)) for part, panels in groups]


def _in_time(row: Callback, part: Part | NotGiven) -> NoticeTime | NotGiven:
    if isinstance(part, NotGiven):
        return part
    if row.counted_on is None or row.received_at is None:
        return NotGiven("The clock of the notice is not known.")
    counted = Counted(row.received_at, row.counted_on, row.counted_why)
    days = row.warranty.notice_days if row.warranty else None
    return notice_time(counted, part.last_day, discovered_on=row.discovered_on, notice_days=days)
