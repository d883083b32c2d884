"""Store the plan of a round: its days with their stops, and what was left out and why."""

from collections.abc import Iterable, Sequence, Set
from datetime import date, datetime, timedelta

from registry.gathering.round_plan import driving_of
from registry.gathering.round_problem import RoundInput
from registry.models import (
    DumpPlace,
    Round,
    RoundDay,
    RoundLeftOut,
    RoundPin,
    RoundStop,
    WaterPoint,
)
from registry.planning.rounds.plan import CrewDay, Plan, StopKind


def store_plan(row: Round, given: RoundInput, plan: Plan) -> None:
    """Store the days and what was left out of a round that has none yet; call it in a transaction.

    Days that were given as locked are kept as locked.
    """
    row.crew_days.all().delete()
    store_days(row, given, plan.days, locked=given.problem.locked_crew_days)
    RoundLeftOut.objects.bulk_create(
        [
            RoundLeftOut(
                round=row,
                order=given.orders[left.order],
                rule=left.breach.rule.name,
                words=left.breach.words,
                crew=given.crews.get(left.crew) if left.crew else None,
                on=left.on,
            )
            for left in plan.left_out
        ]
        + [
            RoundLeftOut(round=row, order=order, rule=breach.rule.name, words=breach.words)
            for order, breach in given.not_ready
        ]
    )


def store_days(
    row: Round, given: RoundInput, days: Sequence[CrewDay], *, locked: Set[tuple[str, date]]
) -> None:
    """Store crew-days with their stops."""
    rows = RoundDay.objects.bulk_create(
        [
            RoundDay(
                round=row,
                crew=given.crews[day.crew],
                on=day.on,
                leaves_at=day.leaves_at,
                returns_at=day.returns_at,
                driving_min=driving_of(given.problem, day),
                is_locked=(day.crew, day.on) in locked,
            )
            for day in days
        ]
    )
    stops = (s for kept, day in zip(rows, days, strict=True) for s in _stops(kept, given, day))
    RoundStop.objects.bulk_create(stops, batch_size=500)


def _stops(kept: RoundDay, given: RoundInput, day: CrewDay) -> Iterable[RoundStop]:
    at = given.problem.crew_by_ref[day.crew].depot
    free_at: datetime = day.leaves_at
    for n, stop in enumerate(day.stops, start=1):
        order = given.problem.order_by_ref[stop.ref] if stop.kind is StopKind.WORK else None
        place = stop.ref if order is None else order.place
        drive = given.problem.travel.between(at, place)
        there = given.place_rows.get(stop.ref) if order is None else None
        yield RoundStop(
            day=kept,
            sequence=n,
            kind=stop.kind.value,
            order=None if order is None else given.orders[order.ref],
            dump_place=there if isinstance(there, DumpPlace) else None,
            water_point=there if isinstance(there, WaterPoint) else None,
            drive_min=drive,
            arrives_at=min(stop.begins_at, free_at + timedelta(minutes=drive)),
            begins_at=stop.begins_at,
            ends_at=stop.ends_at,
            debris_l=0 if order is None else order.debris_l,
            water_l=0 if order is None else order.water_l,
        )
        at, free_at = place, stop.ends_at


def copy_wishes(made_from: Round, row: Round) -> None:
    """Give a round the pins and called-off days of the one it is made from."""
    RoundPin.objects.bulk_create(
        RoundPin(round=row, order_id=pin.order_id, on=pin.on, crew_id=pin.crew_id)
        for pin in made_from.pins.all()
    )
    for off in made_from.called_off.all():
        row.called_off.create(on=off.on, crew_id=off.crew_id, why=off.why)


def copy_days(days: Iterable[RoundDay], row: Round) -> None:
    """Give a round days as they stand in another, locked."""
    for day in days:
        stops = list(day.stops.all())
        kept = RoundDay.objects.create(
            round=row,
            crew_id=day.crew_id,
            on=day.on,
            leaves_at=day.leaves_at,
            returns_at=day.returns_at,
            driving_min=day.driving_min,
            is_locked=True,
        )
        for stop in stops:
            stop.pk, stop.day = None, kept
            stop._state.adding = True
        RoundStop.objects.bulk_create(stops)
