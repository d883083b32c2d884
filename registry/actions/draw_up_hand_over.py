"""Draw up a hand-over certificate: what is handed over is gathered from the record and kept."""

from zoneinfo import ZoneInfo

from django.db import transaction
from django.db.models import Max, Min

from registry.actions.add_entry import add_entry
from registry.faults import DomainError
from registry.gathering.hand_over_facts import hand_over_facts
from registry.models import HandOver, HandOverMove, Organisation, Person
from registry.models.choices import Role


class NotOfItsContractor(DomainError):
    """A first hand-over by who did not place the work."""


class BeforeItsPlacing(DomainError):
    """A hand-over in effect before what it hands over was placed."""


@transaction.atomic
def draw_up_hand_over(
    row: HandOver, *, by: Person | None, organisation: Organisation | None
) -> HandOver:
    """Store a certificate with the lines, the state and the warranty of the day.

    What is open stands as its writer said; things that nobody named are listed without an end, so
    that the taker sees them.
    Raises NotOfItsContractor where a first hand-over is not the contractor's own, BeforeItsPlacing
    where its hour lies before the placing.
    """
    _refuse_before_the_placing(row)
    seats = row.pavement.seats.filter(role=Role.CONTRACTOR, organisation=row.giver_id)
    if row.is_first and not seats.exists():
        raise NotOfItsContractor(
            "A first hand-over opens the placing record, so only the contractor draws it up. "
            "Leave “first hand-over” open where you hand over as owner or manager."
        )
    facts = hand_over_facts(row.pavement)
    row.lines, row.state_then, row.warranty_then = facts.lines, facts.state, facts.warranty
    named = [what for what, _ in row.open_things]
    row.open_things += [[what, ""] for what in facts.opens if what not in named]
    row.state = "drawn_up"
    add_entry(row, by=by, organisation=organisation)
    HandOverMove.objects.create(
        hand_over=row,
        to_state="drawn_up",
        on=row.entered_at.date(),
        by=by,
        by_organisation=organisation,
    )
    return row


def _refuse_before_the_placing(row: HandOver) -> None:
    """Refuse an hour before the first placing; ask where work went on after a first hand-over.

    A lot may be handed over in parts: then its note says what the certificate hands over.
    """
    effective = row.effective_at.astimezone(ZoneInfo(row.pavement.site.time_zone)).date()
    days = row.pavement.placing_days.standing().filter(repair__isnull=True)
    found = days.aggregate(first=Min("placed_on"), last=Max("placed_on"))
    known = [day for day in (found["first"], row.pavement.placed_on) if day is not None]
    if known and effective < min(known):
        raise BeforeItsPlacing(
            f"It was placed on {min(known)}: nothing can be handed over on {effective}, before "
            "that. Correct the effective date, or the placing day."
        )
    if row.is_first and found["last"] is not None and effective < found["last"] and not row.note:
        raise BeforeItsPlacing(
            f"Placing went on until {found['last']}, after {effective}. Correct the effective "
            "date, or say in the remark which part this certificate hands over."
        )
