"""Load the invented town of Sedgewater into an empty database and print three sign-ins."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError

from registry.demo.town import load_town
from registry.faults import DomainError


class Command(BaseCommand):
    """`manage.py load_demo`."""

    help = "Load the demonstration town into an empty database and print three sign-ins."

    def handle(self, *args: Any, **options: Any) -> None:
        """Load, then say who may sign in and what to look at first."""
        try:
            loaded = load_town()
        except DomainError as refusal:
            raise CommandError(refusal.message) from refusal
        self.stdout.write(
            f"The town of Sedgewater is here: {loaded.pavements} pavements, "
            f"{loaded.infiltration_tests} infiltration tests, {loaded.cleanings} cleanings, "
            f"{loaded.defects} defects, {loaded.photos} photos.\n"
            "Its people sign in with these passwords, which the record cannot show again:\n"
        )
        for person in loaded.sign_ins:
            self.stdout.write(f"  {person.email:<38} {person.password}")
            self.stdout.write(f"      {person.name}, {person.organisation}")
        self.stdout.write(
            "\nFirst the page of what needs you now; then Larch Row rear lot (BC-04 = PP-19-06), "
            "whose\nrun-on edge clogged, and Cooper's Yard north lot (BC-01 = PP-23-07 = H-2306)."
        )
