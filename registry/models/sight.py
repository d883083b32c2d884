"""Which dated records, and which prices, a set of seats shows that does not read everything."""

from collections.abc import Iterable
from datetime import datetime, time
from zoneinfo import ZoneInfo

from django.db.models import Exists, OuterRef, Q

from registry.models.callback import Callback
from registry.models.callback_attachment import CallbackAttachment
from registry.models.choices import Role
from registry.models.cleaning import Cleaning
from registry.models.rights import Rights
from registry.models.seat import Seat
from registry.models.work_order import WorkOrder

NOTHING = Q(pk__in=())


def tests_shown(rights: Rights, zone: ZoneInfo) -> Q:
    """Return the condition under which seats show an infiltration test."""
    shown = _shown(rights, zone, "started_on") | attached(rights, "infiltration_test")
    for seat in rights.seats:
        if seat.role == Role.CONTRACTOR:
            shown |= _shown_to_contractor(seat, rights, zone)
    return shown


def cleanings_shown(rights: Rights, zone: ZoneInfo) -> Q:
    """Return the condition under which seats show a cleaning."""
    return _shown(rights, zone, "done_on") | attached(rights, "cleaning")


def _shown(rights: Rights, zone: ZoneInfo, day_field: str) -> Q:
    """One's own for ever; a former holder's period; to a municipality what was submitted."""
    shown = Q(entered_for__in=rights.organisations)
    if rights.past_until is not None:
        shown |= before(rights.past_until, zone, day_field)
    if Role.MUNICIPALITY in rights.roles:
        shown |= Q(submitted_on__isnull=False)
    return shown


def before(end: datetime, zone: ZoneInfo, day_field: str) -> Q:
    """Return the condition of what took place before an instant.

    On the day itself the clock decides; where no clock was written, what had come in by then
    counts, since a later entry may be the next holder's.
    """
    day = end.astimezone(zone).date()
    on_the_day = Q(started_at__lt=end) | Q(started_at__isnull=True, entered_at__lt=end)
    return Q(**{f"{day_field}__lt": day}) | (Q(**{day_field: day}) & on_the_day)


def attached(rights: Rights, column: str) -> Q:
    """Return the condition of records attached to a callback that one's own side answers.

    They stay in its sight for ever. `column` is the one of CallbackAttachment.
    """
    rows = CallbackAttachment.objects.standing().filter(
        callback__contractor__in=_contractors(rights), **{f"{column}__isnull": False}
    )
    return Q(pk__in=rows.values(column)) if _contractors(rights) else NOTHING


def _contractors(rights: Rights) -> set[int]:
    return {s.organisation_id for s in rights.seats if s.role == Role.CONTRACTOR}


def _has_open_callback(seat: Seat, at: str = "pavement") -> Q:
    """Return the condition that a callback at the pavement of a row waits for a seat's holder.

    at  the column of the row that leads to its pavement
    """
    rows = Callback.objects.open().filter(contractor=seat.organisation_id, pavement=OuterRef(at))
    return Q(Exists(rows))


def _shown_to_contractor(seat: Seat, rights: Rights, zone: ZoneInfo) -> Q:
    """Acceptance tests of its work for ever; later tests of it while its warranty runs or a
    callback is open.

    An acceptance test after the warranty is of somebody else's work.
    """
    sections = Q(spot__panel__section=seat.section_id) if seat.section_id else Q()
    shown = Q(reason="acceptance") & sections
    if seat.warranty_last_on is not None:
        shown &= Q(started_on__lte=seat.warranty_last_on)
    if not seat.is_held_at(rights.at):
        return shown & before(seat.to_at, zone, "started_on") if seat.to_at else NOTHING
    if seat.warranty_last_on is not None and rights.today <= seat.warranty_last_on:
        return shown | (sections or ~NOTHING)
    return shown | (_has_open_callback(seat) & sections)


def shows_price(rights: Rights, owners: Iterable[Seat], *, is_own: bool, at: datetime) -> bool:
    """Say whether a price of some instant may be shown: its writer's, its payer's, no buyer's.

    `owners` are all seats as owner at the pavement. An owner sees the prices of its own period,
    a manager those of the owners it works or worked for.
    """
    return is_own or any(_covers(span, at) for span in _periods(rights.seats, tuple(owners)))


def price_at(row: Cleaning, zone: ZoneInfo) -> datetime:
    """Return the instant of a cleaning's price; without a clock the day's first minute."""
    return row.started_at or datetime.combine(row.done_on, time.min, zone)


Span = tuple[datetime, datetime | None]


def _periods(seats: Iterable[Seat], owners: tuple[Seat, ...]) -> Iterable[Span]:
    for seat in seats:
        if seat.role == Role.OWNER:
            yield seat.from_at, seat.to_at
        if seat.role == Role.MANAGER:
            for owner in owners:
                if _overlap(seat, owner):
                    ends = [s.to_at for s in (seat, owner) if s.to_at is not None]
                    yield owner.from_at, min(ends, default=None)


def _overlap(one: Seat, other: Seat) -> bool:
    begins = max(one.from_at, other.from_at)
    return all(s.to_at is None or begins < s.to_at for s in (one, other))


def _covers(span: Span, at: datetime) -> bool:
    begins, ends = span
    return begins <= at and (ends is None or at < ends)


def orders_shown(rights: Rights) -> Q:
    """Return the condition under which seats show a work order: asked for, or to be swept, by one's
    own side; a former holder's period; to a municipality what was submitted.
    """
    own = rights.organisations
    shown = Q(entered_for__in=own) | Q(organisation__in=own) | Q(sweeper__in=own)
    if rights.past_until is not None:
        shown |= Q(entered_at__lt=rights.past_until)
    if Role.MUNICIPALITY in rights.roles:
        shown |= Q(submitted_on__isnull=False)
    return shown


def shows_order(rights: Rights, row: WorkOrder) -> bool:
    """Say of one order at hand what `orders_shown` asks of all, without asking for it again."""
    own = {row.entered_for_id, row.organisation_id, row.sweeper_id} & rights.organisations
    past = rights.past_until is not None and row.entered_at < rights.past_until
    reviewed = Role.MUNICIPALITY in rights.roles and row.submitted_on is not None
    return bool(own) or past or reviewed


def visits_shown(rights: Rights, zone: ZoneInfo) -> Q:
    """Return the condition under which seats show an inspection visit."""
    shown = _shown(rights, zone, "done_on") | attached(rights, "visit")
    for seat in rights.seats:
        if seat.role != Role.CONTRACTOR or seat.section_id is not None:
            continue
        if _in_warranty(seat, rights):
            shown |= Q(done_on__lte=seat.warranty_last_on)
        if seat.is_held_at(rights.at):
            shown |= _has_open_callback(seat)
    return shown


def defects_shown(rights: Rights) -> Q:
    """Return the condition under which seats show a defect, that somebody noted it at all.

    Testers and sweepers see none but their own. A contractor sees those in its own sections
    while its warranty runs; a defect at no panel of a known section is no section's.
    """
    shown = Q(entered_for__in=rights.organisations)
    if rights.past_until is not None:
        shown |= Q(entered_at__lt=rights.past_until)
    if Role.MUNICIPALITY in rights.roles:
        shown |= Q(submitted_on__isnull=False)
    return shown | defects_in_warranty(rights) | attached(rights, "defect")


def defects_in_warranty(rights: Rights) -> Q:
    """Return the condition of defects that a contractor sees while its warranty runs, and those of
    a pavement at which a callback waits for it.
    """
    shown = NOTHING
    for seat in rights.seats:
        if seat.role != Role.CONTRACTOR or not seat.is_held_at(rights.at):
            continue
        inside = Q(section=seat.section_id) | Q(panel__section=seat.section_id)
        within = _has_open_callback(seat)
        if _in_warranty(seat, rights):
            within |= Q(first_seen_on__lte=seat.warranty_last_on)
        shown |= within & inside if seat.section_id else within
    return shown


def observations_shown(rights: Rights) -> Q:
    """Return the condition under which seats show one look at a defect they see.

    A contractor sees looks as inspections: while its warranty runs, or its callback is open.
    """
    shown = Q(entered_for__in=rights.organisations)
    if rights.past_until is not None:
        shown |= Q(entered_at__lt=rights.past_until)
    if Role.MUNICIPALITY in rights.roles:
        shown |= Q(submitted_on__isnull=False)
    for seat in rights.seats:
        if seat.role != Role.CONTRACTOR:
            continue
        if _in_warranty(seat, rights):
            shown |= Q(seen_on__lte=seat.warranty_last_on)
        if seat.is_held_at(rights.at):
            shown |= _has_open_callback(seat, at="defect__pavement")
    if _contractors(rights):
        rows = CallbackAttachment.objects.standing().filter(
            callback__contractor__in=_contractors(rights), defect__isnull=False
        )
        shown |= Q(defect__in=rows.values("defect"))
    return shown


def _in_warranty(seat: Seat, rights: Rights) -> bool:
    last = seat.warranty_last_on
    return seat.is_held_at(rights.at) and last is not None and rights.today <= last
