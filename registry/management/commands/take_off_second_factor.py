"""take_off_second_factor EMAIL --why REASON: for who lost phone and recovery codes."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from registry.actions.take_off_second_factor import mail_taken_off, take_off_second_factor
from registry.faults import DomainError


class Command(BaseCommand):
    """Take the second factor off one account, and tell its person by mail."""

    help = (
        "Take the second factor off for somebody who lost phone and recovery codes. First make "
        "sure, by another way than mail, that it is the person who asks."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("email", help="the address with which the person signs in")
        parser.add_argument("--why", required=True, help="who asked, and how you know")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            person = take_off_second_factor(email=options["email"], why=options["why"])
        except DomainError as refusal:
            raise CommandError(refusal.message) from refusal
        self.stdout.write(f"{person.email} signs in by the password alone now.")
        try:
            mail_taken_off(person)
        except OSError as fault:
            self.stderr.write(f"The mail that tells of it was not sent: {fault}. Tell them.")
