"""Take over days of a round: the order book follows, in one transaction, after another check."""

from collections.abc import Sequence
from copy import copy
from dataclasses import dataclass
from datetime import date
from zoneinfo import ZoneInfo

from django.db import transaction
from django.utils import timezone

from registry.actions.move_work_order import move_work_order
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.gathering.round_plan import plan_of, stored_days
from registry.gathering.round_problem import RoundInput, gather_round
from registry.models import Organisation, Person, Round, RoundDay, RoundStop, WorkOrder
from registry.planning.order_moves import STATES, TO_DATE
from registry.planning.rounds.check import crew_day_breaches
from registry.planning.rounds.check_found import Found


class CannotTakeOver(DomainError):
    """The record has changed, so that the days would break a rule now; nothing was changed."""


@dataclass(frozen=True)
class TakenOver:
    """days and orders taken over; orders that stand dated for one of the days and are not on it."""

    days: int
    orders: int
    still_dated: tuple[WorkOrder, ...]


@transaction.atomic
def take_over_round(row: Round, *, first_on: date, last_on: date, by: Person | None) -> TakenOver:
    """Date the orders of a round's days, and put these days into force in place of any before.

    An order that was done meanwhile drops out of its day. Days outside of the round stay in force,
    however wide the span; days that a round keeps of the one before belong to it. Raises
    CannotTakeOver, naming each rule, where the record as it stands now does not let a day be as it
    was planned.
    """
    # Of two rounds of one organisation taken over at once the second begins after the first.
    Organisation.objects.select_for_update(no_key=True).get(pk=row.organisation_id)
    held = (
        Round.objects.select_for_update(of=("self",)).select_related("organisation").get(pk=row.pk)
    )
    if not held.has_a_plan:
        raise CannotTakeOver("This round has no plan that could be taken over.")
    days = [day for day in stored_days(held) if first_on <= day.on <= last_on]
    if not days:
        raise CannotTakeOver(f"The round has no work from {first_on} to {last_on}.")
    now = timezone.now()
    today = now.astimezone(ZoneInfo(held.time_zone)).date()
    if min(day.on for day in days) < today:
        raise CannotTakeOver(f"Days before today, {today}, are not taken over any more.")
    if over := [str(day.crew) for day in days if day.returns_at <= now]:
        raise CannotTakeOver(
            f"By now the shift planned for {', '.join(over)} would be over. Solve the round again: "
            "what is left of today is planned from the present hour on."
        )
    stops = [stop for day in days for stop in day.stops.all() if stop.order is not None]
    _check_again(held, days, stops)
    for stop in stops:
        _date(stop, by=by, on=today)
    replaced = (max(first_on, _begins(held, days)), min(last_on, held.last_on))
    RoundDay.objects.filter(
        crew__organisation=held.organisation, on__range=replaced, is_in_force=True
    ).update(is_in_force=False)
    taken = held.crew_days.filter(pk__in=[day.pk for day in days])
    taken.update(is_in_force=True, taken_over_at=now)
    changes = {"days": ["", f"{first_on} to {last_on}"]}
    write_line(held, "taken over", by=by, organisation=held.organisation, changes=changes)
    return TakenOver(len(days), len(stops), _still_dated(held, stops, first_on, last_on))


def _begins(row: Round, days: Sequence[RoundDay]) -> date:
    """Return the first day of a round, or the first that it keeps of the one before."""
    return min(row.first_on, *(day.on for day in days))


def _check_again(row: Round, days: Sequence[RoundDay], stops: list[RoundStop]) -> None:
    """Hold the days against the rules as the record stands now; drop stops that were done."""
    whole = copy(row)
    whole.first_on = _begins(row, days)
    given = gather_round(whole, at=timezone.now(), locked=(), not_before=row.asked_at)
    strange = [stop for stop in stops if stop.order_id not in given.ref_of]
    for stop in strange:
        order = stop.order
        if order is not None and not order.is_void and order.state not in TO_DATE:
            stops.remove(stop)
        else:
            raise CannotTakeOver(_why_strange(given, stop))
    for day in days:
        if day.crew.name not in given.crews:
            raise CannotTakeOver(
                f"Crew {day.crew} can no longer be planned. " + " ".join(given.notes)
            )
    plan = plan_of(given, days)
    found: list[Found] = [f for day in plan.days for f in crew_day_breaches(given.problem, day)]
    if found:
        named = " ".join(f"{f.on}, {f.crew}: {f.rule.value}. {f.words}" for f in found[:5])
        raise CannotTakeOver(
            f"The record has changed since the round was worked out. {named} Solve it again."
        )


def _why_strange(given: RoundInput, stop: RoundStop) -> str:
    order = stop.order
    for other, breach in given.not_ready:
        if other.pk == stop.order_id:
            return f"Order {order} cannot be planned any more. {breach.words}"
    if order is not None and not order.is_void:
        return (
            f"Order {order} is no longer among those to be planned here: it is "
            f"“{STATES[order.state]}”, for another firm or another day. Solve the round again."
        )
    return f"Order {order} is void. Solve the round again."


def _date(stop: RoundStop, *, by: Person | None, on: date) -> None:
    order, day = stop.order, stop.day
    if order is None:
        return
    given = (day.on, stop.begins_at, day.crew_id)
    if order.state == "dated" and given == (order.dated_for, order.starts_at, order.crew_id):
        return
    move_work_order(
        order,
        to_state="dated",
        on=on,
        by=by,
        organisation=day.crew.organisation,
        dated_for=day.on,
        starts_at=stop.begins_at,
        crew=day.crew,
        signed_by=str(by or "the command line"),
    )


def _still_dated(
    row: Round, stops: Sequence[RoundStop], first_on: date, last_on: date
) -> tuple[WorkOrder, ...]:
    rows = WorkOrder.objects.standing().filter(
        state="dated", crew__organisation=row.organisation, dated_for__range=(first_on, last_on)
    )
    return tuple(rows.exclude(pk__in=[stop.order_id for stop in stops]).order_by("pk"))
