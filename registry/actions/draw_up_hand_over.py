"""Draw up a hand-over certificate: what is handed over is gathered from the record and kept."""

from django.db import transaction

from registry.actions.add_entry import add_entry
from registry.faults import DomainError
from registry.gathering.hand_over_facts import hand_over_facts
from registry.models import HandOver, HandOverMove, Organisation, Person
from registry.models.choices import Role


class NotOfItsContractor(DomainError):
    """A first hand-over by who did not place the work."""


@transaction.atomic
def draw_up_hand_over(
    row: HandOver, *, by: Person | None, organisation: Organisation | None
) -> HandOver:
    """Store a certificate with the lines, the state and the warranty of the day.

    What is open stands as its writer said; things that nobody named are listed without an end, so
    that the taker sees them.
    Raises NotOfItsContractor where a first hand-over is not the contractor's own.
    """
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
