"""Add a pavement, with its site if that is new, and the seat of the organisation that adds it."""

from django.db import transaction
from django.utils import timezone

from registry.actions.add_entry import add_entry
from registry.actions.number_pavement import number_pavement
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.models import Organisation, Pavement, Person, Seat, Site
from registry.models.choices import Role

ADDS_NONE = frozenset({Role.PRODUCER, Role.BUYER})
"""Usual roles that hold no pavement of their own: they are let in by others."""


class CannotAdd(DomainError):
    """The organisation brings no pavements into the record."""


@transaction.atomic
def add_pavement(
    pavement: Pavement, *, site: Site, number: str = "", by: Person, organisation: Organisation
) -> Pavement:
    """Store a pavement; the organisation gets the seat of its usual role, from now on.

    `site` is stored first where it is new. `number` is the organisation's own. Raises CannotAdd
    and NumberTaken; nothing is stored then.
    """
    if organisation.usual_role in ADDS_NONE:
        role = organisation.get_usual_role_display()
        raise CannotAdd(
            f"{organisation} is a {role} and holds no pavement of its own. An owner or manager "
            "adds it and gives a seat."
        )
    if site._state.adding:
        site.organisation = organisation
        add_site(site, by=by, organisation=organisation)
    pavement.site = site
    add_entry(pavement, by=by, organisation=organisation)
    seat = Seat.objects.create(
        pavement=pavement,
        organisation=organisation,
        role=organisation.usual_role,
        from_at=timezone.now(),
        entered_by=by,
    )
    write_line(seat, "given", by=by, organisation=organisation)
    if number:
        number_pavement(pavement, number=number, by=by, organisation=organisation)
    return pavement


@transaction.atomic
def add_site(site: Site, *, by: Person, organisation: Organisation) -> Site:
    """Store a new site of an organisation."""
    site.organisation = organisation
    return add_entry(site, by=by, organisation=organisation)
