"""add_organisation NAME ...: begin without the demonstration town, or let in who nobody invited."""

import sys
from argparse import ArgumentParser
from getpass import getpass
from typing import Any
from zoneinfo import available_timezones

from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError

from registry.actions.add_organisation import begin_organisation
from registry.faults import DomainError
from registry.models import Organisation, Person
from registry.models.choices import ReadingSystem, Role

ROLES = tuple(role.value for role in Role if role != Role.BUYER)


class Command(BaseCommand):
    """Bring in an organisation and its first person, who invites all others."""

    help = (
        "Bring in an organisation and its first person, who signs in and invites all others. The "
        "password is asked for twice; without a terminal it is the first line of the input."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("name", help='of the organisation: "Brindle Court Property Care"')
        parser.add_argument(
            "--role", required=True, choices=ROLES, help="what it mostly is to its pavements"
        )
        parser.add_argument(
            "--time-zone", required=True, help="its local time, as America/New_York"
        )
        parser.add_argument(
            "--units",
            required=True,
            choices=ReadingSystem.values,
            help="of its sheets: inch_pound is ft, in, lb; si is m, mm, kg",
        )
        parser.add_argument("--email", required=True, help="with which its first person signs in")
        parser.add_argument(
            "--person", default="", help="the name of that person; not for who signs in already"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        """Store both or neither, and say what comes next."""
        zone, email = options["time_zone"], options["email"]
        if zone not in available_timezones():
            raise CommandError(f"“{zone}” is no local time. Write one such as America/New_York.")
        is_known = Person.objects.filter(email__iexact=email.strip()).exists()
        if not is_known and not options["person"].strip():
            raise CommandError(f"Nobody signs in as {email} yet: add --person with their name.")
        row = Organisation(
            name=options["name"].strip(),
            usual_role=options["role"],
            system=options["units"],
            time_zone=zone,
        )
        password = None if is_known else _ask_password()
        try:
            row, person = begin_organisation(
                row, email=email, name=options["person"], password=password
            )
        except DomainError as refusal:
            raise CommandError(refusal.message) from refusal
        except ValidationError as refusal:
            raise CommandError(" ".join(refusal.messages)) from refusal
        with_what = "the password they have" if is_known else "that password"
        self.stdout.write(
            f"{row} is here. {person} signs in as {person.email} with {with_what}, and invites "
            "others under Contents, Organisation."
        )


def _ask_password() -> str:
    """Return the password written twice, or the first line where nobody can be asked."""
    if not sys.stdin.isatty():
        return sys.stdin.readline().rstrip("\r\n")
    first = getpass("Password, 12 characters or more: ")
    if getpass("The same password again: ") != first:
        raise CommandError("The two passwords differ. Nothing was stored.")
    return first
