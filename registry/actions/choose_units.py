"""Choose the units that a person is shown."""

from django.db import transaction

from registry.actions.write_journal import write_line
from registry.models import Person
from registry.models.choices import ReadingSystem


@transaction.atomic
def choose_units(person: Person, *, by: Person, system: ReadingSystem) -> Person:
    """Show a person ft, in and lb, or m, mm and kg, from now on. Nothing stored is changed."""
    before = person.shown_system
    if before == system:
        return person
    person.shown_system = system
    person.save(update_fields=["shown_system"])
    write_line(person, "changed", by=by, changes={"shown_system": [before, system.value]})
    return person
