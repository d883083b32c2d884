"""Bring a folder of CSV files, one CSV file or one workbook into the record."""

import sys
from argparse import ArgumentParser
from pathlib import Path
from zoneinfo import available_timezones

from django.core.management.base import BaseCommand, CommandError

from registry.actions.import_records import Outcome, import_records, told
from registry.actions.refresh_standing import refresh_standings
from registry.exchange.columns import TESTS
from registry.exchange.problems import Problem, SpreadsheetRefused
from registry.faults import DomainError
from registry.models import Organisation, Pavement

MOST_PAVEMENTS, MOST_TESTS = 300, 5000
"""Up to so many, conditions are worked out here and now; beyond that the worker does it."""


class Command(BaseCommand):
    """`import_records PATH --for ORGANISATION [--dry-run] [--time-zone ZONE]`."""

    help = "Bring a folder of CSV files, one CSV file or one .xlsx workbook into the record."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("path", type=Path)
        parser.add_argument("--for", dest="organisation", required=True, help="name of whose it is")
        parser.add_argument("--dry-run", action="store_true", help="say what would be stored")
        parser.add_argument(
            "--time-zone",
            default="",
            help="local time at new sites, such as America/New_York; else the organisation's",
        )

    def handle(self, **options: object) -> None:
        zone = str(options["time_zone"])
        if zone and zone not in available_timezones():
            raise CommandError(f"“{zone}” is not a time zone; write America/New_York.")
        try:
            outcome = import_records(
                Path(str(options["path"])),
                organisation=_organisation(str(options["organisation"])),
                dry_run=bool(options["dry_run"]),
                time_zone=zone,
                progress=self._progress,
            )
        except SpreadsheetRefused as refused:
            for problem in refused.problems:
                self.stderr.write(str(problem))
            raise CommandError(self._refused(refused)) from None
        except DomainError as fault:
            raise CommandError(fault.message) from None
        self._report(outcome, is_dry=bool(options["dry_run"]))

    def _progress(self, rows: int) -> None:
        if sys.stderr.isatty():
            self.stderr.write(f"\r{rows} rows", ending="")

    def _refused(self, refused: SpreadsheetRefused) -> str:
        more = refused.count - len(refused.problems)
        unlisted = f" ({more} more of the same kinds are not listed)" if more else ""
        return f"Nothing was stored: {refused.count} to be mended{unlisted}."

    def _report(self, outcome: Outcome, *, is_dry: bool) -> None:
        batch = outcome.batch
        if outcome.was_in_before:
            self.stdout.write(
                f"The same came in on {batch.stored_at:%Y-%m-%d} as {batch.file_name}. "
                "Nothing was changed."
            )
            return
        for doubt in batch.doubts:
            self.stdout.write(f"? {Problem(**doubt)}")
        if (more := batch.doubt_count - len(batch.doubts)) > 0:
            self.stdout.write(f"? {more} more doubts of the same kinds are not listed.")
        for note in batch.notes:
            self.stdout.write(note)
        verb = "Would be stored" if is_dry else "Stored"
        self.stdout.write(f"{verb}: {_listed(batch.counts)}.")
        if batch.known:
            self.stdout.write(f"In the record already, unchanged: {_listed(batch.known)}.")
        self.stdout.write(f"Doubts: {batch.doubt_count}; each is kept with its row.")
        if not is_dry:
            self._refresh(outcome)

    def _refresh(self, outcome: Outcome) -> None:
        touched = Pavement.objects.filter(journal__subject_kind="importbatch").filter(
            journal__subject_id=outcome.batch.pk
        )
        ids = list(touched.values_list("pk", flat=True).distinct())
        if len(ids) <= MOST_PAVEMENTS and outcome.batch.counts[TESTS] <= MOST_TESTS:
            refresh_standings(ids)
        else:
            self.stdout.write(
                f"The conditions of {len(ids)} pavements are worked out by the worker."
            )


def _organisation(name: str) -> Organisation:
    found = Organisation.objects.filter(name=name).first()
    if found is None:
        raise CommandError(f"There is no organisation “{name}”.")
    return found


def _listed(counts: dict[str, int]) -> str:
    said = [told(number, table) for table, number in counts.items() if number]
    return ", ".join(said) or "nothing"
