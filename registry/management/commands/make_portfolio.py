"""make_portfolio --pavements N --seed S: an invented portfolio in the database, to measure with."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from registry.actions.invent_portfolio import invent_portfolio
from registry.faults import DomainError
from registry.management.commands.refresh_outlooks import read_day
from registry.models import Cleaning, InfiltrationTest, Pavement


class Command(BaseCommand):
    """Invent pavements, spots, tests, cleanings and criteria of one invented owner."""

    help = "Write an invented portfolio into the database, for measurements alone."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--pavements", type=int, required=True, metavar="N", help="how many to invent"
        )
        parser.add_argument(
            "--seed",
            type=int,
            required=True,
            metavar="S",
            help="a whole number, 0 or more, that names the owner; the same one invents the same",
        )
        parser.add_argument(
            "--as-of",
            metavar="DAY",
            help="last day of its records, year-month-day; today if left out",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        as_of = read_day(options["as_of"])
        if options["seed"] < 0:
            raise CommandError("A seed is a whole number, 0 or more.")
        try:
            owner = invent_portfolio(
                pavements=options["pavements"], seed=options["seed"], as_of=as_of
            )
        except DomainError as refusal:
            raise CommandError(refusal.message) from refusal
        counts = [
            f"{kind.objects.filter(entered_for=owner).count()} {words}"
            for kind, words in (
                (Pavement, "pavements"),
                (InfiltrationTest, "infiltration tests"),
                (Cleaning, "cleanings"),
            )
        ]
        self.stdout.write(f"{owner}: {', '.join(counts)}. All of it is invented.")
