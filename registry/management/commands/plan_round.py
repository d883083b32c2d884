"""plan_round --for ORGANISATION --from DATE --days N: work a round out and print it, store nothing.

Seconds end the search where no iterations are given; with iterations alone the same seed gives the
same plan on any machine. A span that begins in the past is worked out as from its first day: what
could have been done then.
"""

import json
from argparse import ArgumentParser
from datetime import datetime, time, timedelta
from pathlib import Path
from time import monotonic
from typing import Any
from zoneinfo import ZoneInfo

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from registry.faults import DomainError
from registry.gathering.round_plan import MOST_SECONDS, solve_gathered
from registry.gathering.round_problem import gather_round, local_times_of
from registry.gathering.round_words import round_as_data, round_as_lines
from registry.gathering.travel_table import read_travel_table
from registry.models import Organisation, Round, TravelTable
from registry.models.round import MOST_DAYS
from registry.units import read_date

USUAL_SECONDS = 30


class Command(BaseCommand):
    """Work out a round of an organisation's crews, print it, and store nothing."""

    help = "Work out which order is swept on which day by which crew; print it, store nothing."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--for", dest="organisation", required=True, help="its name")
        parser.add_argument("--from", dest="first_on", required=True, help="first day, yyyy-mm-dd")
        parser.add_argument("--days", type=int, required=True, help=f"1 to {MOST_DAYS}")
        parser.add_argument("--seconds", type=int, help=f"at most {MOST_SECONDS}; usual: 30")
        parser.add_argument("--iterations", type=int, help="end the search after so many")
        parser.add_argument("--seed", type=int, default=1, help="of the search; usual: 1")
        parser.add_argument("--time-zone", help="of the sites, where they keep different ones")
        parser.add_argument("--travel", type=Path, help="CSV of driving times: from,to,minutes")
        parser.add_argument("--json", type=Path, help="write the round to this file too")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            row, now = _asked(options), timezone.now()
            begun_at = _looking_back(row, now)
            given = gather_round(row, at=now, not_before=begun_at)
            result = solve_gathered(row, given, clock=monotonic)
        except DomainError as fault:
            raise CommandError(fault.message) from fault
        if begun_at is not None:
            self.stdout.write(
                f"{row.first_on} is past: told is what could have been done from then."
            )
        for line in round_as_lines(result):
            self.stdout.write(line)
        if options["json"]:
            text = json.dumps(round_as_data(result), indent=1, allow_nan=False)
            _write(options["json"], text + "\n")
        if result.found:
            named = "; ".join(str(found) for found in result.found[:3])
            raise CommandError(f"The check found what must not be: {named}")


def _asked(options: dict[str, Any]) -> Round:
    """Return the round that is asked for, not stored."""
    organisation = Organisation.objects.filter(name=options["organisation"]).first()
    if organisation is None:
        raise CommandError(f"There is no organisation “{options['organisation']}”.")
    first_on = read_date(options["first_on"])
    if not 1 <= options["days"] <= MOST_DAYS:
        raise CommandError(f"A round is of 1 to {MOST_DAYS} days.")
    seconds, iterations = options["seconds"], options["iterations"]
    for name in ("seconds", "iterations", "seed"):
        if options[name] is not None and options[name] < 0:
            raise CommandError(f"{name.capitalize()} are no less than 0.")
    if (seconds or 0) > MOST_SECONDS:
        raise CommandError(f"At most {MOST_SECONDS} seconds are given to a round.")
    if seconds is None and iterations is None:
        seconds = USUAL_SECONDS
    return Round(
        organisation=organisation,
        first_on=first_on,
        last_on=first_on + timedelta(days=options["days"] - 1),
        time_zone=_time_zone(organisation, options["time_zone"]),
        seed=options["seed"],
        seconds=seconds,
        iterations=iterations,
        travel=_travel(options["travel"]),
    )


def _looking_back(row: Round, now: datetime) -> datetime | None:
    """Return when the first day began where it is past: what could have been done is asked then."""
    zone = ZoneInfo(row.time_zone)
    if row.first_on >= now.astimezone(zone).date():
        return None
    return datetime.combine(row.first_on, time(), tzinfo=zone)


def _time_zone(organisation: Organisation, wanted: str | None) -> str:
    zones = local_times_of(organisation, at=timezone.now())
    if wanted is None and len(zones) > 1:
        raise CommandError(f"The sites keep different local times: {', '.join(zones)}. Say which.")
    if wanted is not None and wanted not in zones:
        raise CommandError(f"No site keeps the time of “{wanted}”, but: {', '.join(zones)}.")
    return wanted or zones[0]


def _travel(path: Path | None) -> TravelTable | None:
    if path is None:
        return None
    try:
        return TravelTable.of(read_travel_table(path.read_bytes()))
    except OSError as wrong:
        raise CommandError(f"{path}: {wrong.strerror}.") from wrong


def _write(path: Path, text: str) -> None:
    try:
        path.write_text(text, encoding="utf-8")
    except OSError as wrong:
        raise CommandError(f"{path}: {wrong.strerror}.") from wrong
