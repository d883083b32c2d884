"""Change a round by hand: pin an order, lock a day, move an order, solve again around what stays.

A pin and a lock are wishes for the next search and stay with the round. A move makes a new round at
once, with the plan as it is then; solving again makes one that waits for the worker.
"""

from collections.abc import Iterable
from datetime import date

from django.db import transaction
from django.utils import timezone

from registry.actions.queue_work import queue_round
from registry.actions.store_round_plan import copy_days, copy_wishes, store_plan
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.gathering.round_plan import cost_of, plan_of, stored_days, with_reasons
from registry.gathering.round_problem import RoundInput, gather_round
from registry.models import Crew, Person, Round, RoundDay, RoundPin, RoundState, WorkOrder
from registry.planning.rounds.check import breaches_of
from registry.planning.rounds.check_found import Found
from registry.planning.rounds.plan import Plan
from registry.planning.rounds.replan import move
from registry.planning.rules import Breach

ASKED = (
    "organisation_id", "first_on", "last_on", "time_zone", "seed", "iterations", "seconds",
    "detour_factor", "speed_km_h", "travel_id", "weather",
)  # fmt: skip
"""What a round made from another has of it."""


class CannotChangeRound(DomainError):
    """A later round was made from it, or it has no plan."""


class RuleBroken(DomainError):
    """What was asked for would break a rule of the plan; nothing was changed."""


@transaction.atomic
def pin_order(
    row: Round, order: WorkOrder, *, on: date | None, crew: Crew | None, by: Person | None
) -> None:
    """Pin an order to a day, a crew or both for the next search; to neither: set it free."""
    held = held_round(row)
    held.pins.filter(order=order).delete()
    if on is not None or crew is not None:
        held.pins.create(order=order, on=on, crew=crew)
    words = [str(part) for part in (on, crew) if part is not None]
    changes = {"pinned": ["", f"{order}: {', '.join(words) or 'set free'}"]}
    write_line(held, "pinned", by=by, organisation=row.organisation, changes=changes)


@transaction.atomic
def lock_days(row: Round, days: Iterable[RoundDay], *, locked: bool, by: Person | None) -> int:
    """Lock days of a round for the next search, or set them free; return how many changed."""
    held = held_round(row)
    keys = [day.pk for day in days]
    changed = held.crew_days.filter(pk__in=keys, is_locked=not locked).update(is_locked=locked)
    verb = "locked days" if locked else "set days free"
    write_line(held, verb, by=by, organisation=row.organisation)
    return changed


@transaction.atomic
def move_order(row: Round, order: WorkOrder, *, on: date, crew: Crew, by: Person | None) -> Round:
    """Return a new round with an order on another day or crew, pinned there.

    Where it was pinned elsewhere, its pin goes with it. Raises RuleBroken, naming each rule that
    the move would break; a rule that the plan broke before, since time went on, does not count
    against it.
    """
    held = held_round(row)
    given = gather_round(held, at=timezone.now(), pins=_pins_moved(held, order, on, crew))
    ref = given.ref_of.get(order.pk)
    if ref is None:
        raise CannotChangeRound(f"Order {order} is no longer among those to be planned.")
    if crew.name not in given.crews:
        raise CannotChangeRound(f"Crew {crew} is not planned: see why on its page.")
    plan = with_reasons(given, plan_of(given, stored_days(held)))
    moved = move(given.problem, plan, ref, on=on, to=crew.name)
    broken = new_breaches(breaches_of(given.problem, plan), moved.breaches)
    if moved.plan is None or broken:
        raise RuleBroken(said(ref, broken or list(moved.breaches), on))
    new = _made_from(held, f"{ref} moved to {on}, {crew}", by)
    new.state = RoundState.DONE
    _fill_in(new, given, moved.plan)
    new.pins.update_or_create(order=order, defaults={"on": on, "crew": crew})
    write_line(new, "changed", by=by, organisation=row.organisation, why=new.because)
    return new


def _pins_moved(row: Round, order: WorkOrder, on: date, crew: Crew) -> list[RoundPin]:
    """The pins of a round, that of one order at the place it is moved to."""
    others = row.pins.exclude(order=order).select_related("crew")
    return [*others, RoundPin(round=row, order=order, on=on, crew=crew)]


def said(ref: str, broken: Iterable[Breach], on: date) -> str:
    """Return why an order cannot be moved to a day, each rule by its name."""
    named = " ".join(f"Broken: {breach.rule.value}. {breach.words}" for breach in broken)
    return f"{ref} cannot go to {on}. {named or 'The crew does not work on this day.'}"


def new_breaches(before: Iterable[Found], after: Iterable[Breach]) -> list[Breach]:
    """Return the breaches that were not there before."""
    known = {(found.rule, found.crew, found.on, found.order) for found in before}
    return [
        b for b in after if not isinstance(b, Found) or (b.rule, b.crew, b.on, b.order) not in known
    ]


@transaction.atomic
def solve_again(row: Round, *, by: Person | None) -> Round:
    """Queue a new round around what is pinned, locked and called off in this one."""
    held = held_round(row)
    new = _made_from(held, "solved again around what is pinned and locked", by)
    new.save()
    copy_wishes(held, new)
    copy_days((day for day in stored_days(held) if day.is_locked), new)
    gather_round(new, at=timezone.now())
    write_line(new, "asked for", by=by, organisation=row.organisation, why=new.because)
    queue_round(new.pk)
    return new


def held_round(row: Round) -> Round:
    """Return the round under a lock. Raises CannotChangeRound for one that is not the newest."""
    held = (
        Round.objects.select_for_update(of=("self",)).select_related("organisation").get(pk=row.pk)
    )
    if not held.has_a_plan:
        raise CannotChangeRound("This round has no plan yet that could be changed.")
    if held.followed_by.not_failed().exists():
        raise CannotChangeRound("A later round was made from this one. Change that one.")
    return held


def _made_from(row: Round, because: str, by: Person | None) -> Round:
    new = Round(made_from=row, because=because[:300], asked_by=by)
    for name in ASKED:
        setattr(new, name, getattr(row, name))
    return new


def _fill_in(new: Round, given: RoundInput, plan: Plan) -> None:
    """Store a round that is worked out by hand."""
    made_from = new.made_from
    new.objective = cost_of(given.problem, plan)
    new.greedy = made_from.greedy if made_from else None
    new.input_digest, new.notes = given.digest, list(given.notes)
    new.orders_given = len(given.orders) + len(given.not_ready)
    new.stopped_by, new.ended_at = "by hand", timezone.now()
    new.save()
    if made_from is not None:
        copy_wishes(made_from, new)
    store_plan(new, given, plan)
