"""Call a day of a round off, for the weather or anything else, and plan the rest anew."""

from datetime import date

from django.db import transaction
from django.utils import timezone

from registry.actions.change_round import ASKED, held_round
from registry.actions.queue_work import queue_round
from registry.actions.store_round_plan import copy_wishes, store_days
from registry.actions.write_journal import write_line
from registry.gathering.round_plan import plan_of, stored_days
from registry.gathering.round_problem import gather_round
from registry.models import Crew, Person, Round
from registry.planning.order_moves import TO_DATE
from registry.planning.rounds.replan import call_off


@transaction.atomic
def call_off_round_day(
    row: Round, *, on: date, crew: Crew | None, why: str, by: Person | None
) -> Round:
    """Queue a new round that begins on a day on which no work is done, of one crew or of all.

    Days before it stay as they are, and of the day itself what is done already. The work orders are
    not touched: those dated for the day stay so until the new days are taken over, or until each
    is called off on its own page. Raises RoundError for a locked day or one after the round.
    """
    held = held_round(row)
    days = stored_days(held)
    given = gather_round(held, at=timezone.now(), locked=days)
    plan = plan_of(given, days)
    there = [day for day in days if day.on == on and crew in (None, day.crew)]
    refs = tuple(
        given.ref_of[stop.order.pk]
        for day in there
        for stop in day.stops.all()
        if stop.order is not None and stop.order.state not in TO_DATE
    )
    locked = {(day.crew.name, day.on) for day in days if day.is_locked}
    open_problem = given.with_locked(day for day in plan.days if (day.crew, day.on) in locked)
    rest = call_off(open_problem, plan, on, crew=crew.name if crew else None, done=refs)
    new = Round(made_from=held, asked_by=by, because=f"{on} called off: {why}"[:300])
    for name in ASKED:
        setattr(new, name, getattr(held, name))
    new.first_on = rest.first_on
    new.save()
    copy_wishes(held, new)
    new.pins.filter(on__lte=on).update(on=None)
    new.called_off.create(on=on, crew=crew, why=why)
    store_days(new, given, rest.locked, locked=rest.locked_crew_days)
    gather_round(new, at=timezone.now())
    write_line(new, "asked for", by=by, organisation=held.organisation, why=new.because)
    queue_round(new.pk)
    return new
