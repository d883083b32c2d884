"""refresh_outlooks [--as-of DATE] [--json FILE] [--for NAME]: fit what changed, foretell all."""

import json
import os
from argparse import ArgumentParser
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from datetime import date
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from registry.actions.refresh_outlooks import PoolOutlooks, refresh_outlooks
from registry.faults import DomainError
from registry.gathering.outlook_file import as_file
from registry.gathering.stored_fit import driver_word
from registry.models import Fit, Organisation, PavementNumber, Pool
from registry.units import read_date


class Command(BaseCommand):
    """Fit every pool whose records have changed, then work out and store all outlooks."""

    help = "Fit the decline of every pool whose records have changed; work out all outlooks."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--as-of",
            metavar="DAY",
            help="year-month-day; today if left out. Records up to it count, and pages show "
            "outlooks as of it until the next time",
        )
        parser.add_argument(
            "--json",
            type=Path,
            metavar="FILE",
            help="write parameters and outlooks to this file too, by the pavements' numbers",
        )
        parser.add_argument(
            "--for",
            dest="organisation",
            metavar="NAME",
            help="only the pools an organisation runs or has pavements in; all if left out",
        )
        parser.add_argument("--again", action="store_true", help="fit also what has not changed")

    def handle(self, *args: Any, **options: Any) -> None:
        as_of = read_day(options["as_of"])
        near = _organisation(options["organisation"])
        refuse_unwritable(options["json"])
        found = []
        for pool in refresh_outlooks(as_of=as_of, force=options["again"], near=near):
            found.append(pool)
            for line in (_line(pool), *_not_used(pool.fit)):
                self.stdout.write(line)
        if not found:
            self.stdout.write("No pavements, so nothing to fit.")
        write_json(options["json"], lambda: _as_data(found))


def _organisation(name: str | None) -> int | None:
    if name is None:
        return None
    found = Organisation.objects.filter(name=name).first()
    if found is None:
        raise CommandError(f"No organisation is called “{name}”.")
    return found.pk


def refuse_unwritable(path: Path | None) -> None:
    """Say before the work begins that its file cannot be written."""
    if path is None:
        return
    if path.is_dir():
        raise CommandError(f"{path} is a folder: name a file.")
    if not path.parent.is_dir():
        raise CommandError(f"There is no folder {path.parent} to write {path.name} into.")
    if not os.access(path if path.exists() else path.parent, os.W_OK):
        raise CommandError(f"{path} may not be written by who runs this.")


def write_json(path: Path | None, content: Callable[[], object]) -> None:
    """Write what was found to a file, where one was asked for."""
    if path is None:
        return
    text = json.dumps(content(), indent=1, allow_nan=False)
    try:
        path.write_text(text + "\n", encoding="utf-8")
    except OSError as fault:
        raise CommandError(
            f"{path} could not be written ({fault.strerror}). All else was done and is stored."
        ) from fault


def read_day(text: str | None) -> date:
    """Return the day written, or today in UTC."""
    if text is None:
        return timezone.now().date()
    try:
        return read_date(text)
    except DomainError as fault:
        raise CommandError(str(fault)) from fault


def _line(pool: PoolOutlooks) -> str:
    fit = pool.fit
    decided = sum(1 for o in pool.outlooks if not o.values["why_not"])
    rests = (
        f"{counted(fit.pavements, 'tested pavement')}, {counted(fit.infiltration_tests, 'test')}"
    )
    said = f"fit {fit.pk} of {rests}" if fit.converged else f"no fit: {fit.message}"
    if not fit.converged and pool.used is not None:
        said += f" The one of {pool.used.made_at:%Y-%m-%d} stays in force."
    return f"{pool.pool}: {said}; {decided} of {len(pool.outlooks)} outlooks decided."


def _not_used(fit: Fit) -> Iterator[str]:
    """Yield a line for each reason that kept runs out, and for each driver counted as no."""
    for why, count in fit.left_out.items():
        yield f"  left out: {counted(count, 'run')}. {why}"
    for driver, count in fit.unknown_drivers.items():
        if count:
            noun = "spot" if driver == "run_on_edge" else "pavement"
            yield f"  {driver_word(driver)}: not known of {counted(count, noun)}, counted as no."


def counted(count: int, noun: str) -> str:
    """Return a count with its noun."""
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def _as_data(found: list[PoolOutlooks]) -> dict[str, Any]:
    """Return the file's content; a single pool's fit stands at the top, several by name."""
    outlooks = [outlook for pool in found for outlook in pool.outlooks]
    names = pool_names([pool.pool for pool in found])
    fits = {names[pool.pool.pk]: _fit(pool) for pool in found}
    head = next(iter(fits.values())) if len(fits) == 1 else {"pools": fits}
    return {**head, "pavements": as_file(outlooks, _names([o.pavement for o in outlooks]))}


def pool_names(pools: Iterable[Pool]) -> dict[int, str]:
    """Return the name of each pool, with who runs it where two are called alike."""
    rows = list(pools)
    counts = Counter(pool.name for pool in rows)
    return {
        pool.pk: pool.name if counts[pool.name] == 1 else f"{pool.organisation}/{pool.name}"
        for pool in rows
    }


def _fit(pool: PoolOutlooks) -> dict[str, Any]:
    if pool.used is None:
        return {"message": pool.fit.message}
    return {
        "log_posterior": pool.used.log_posterior,
        "log_likelihood": pool.used.log_likelihood,
        "parameters": pool.used.parameters,
    }


def _names(pavements: Iterable[int]) -> dict[int, str]:
    """Return the ref of each pavement: its first number, with the organisation on collision.

    One without a number is `record-` and its id, as in files written out.
    """
    rows = (
        PavementNumber.objects.filter(is_taken_back=False, to_on__isnull=True)
        .order_by("-pk")
        .values_list("pavement_id", "number", "organisation__name")
    )
    first = {pk: (number, organisation) for pk, number, organisation in rows}
    counts = Counter(number for number, _ in first.values())
    return {pk: _name(pk, *first.get(pk, ("", "")), counts) for pk in pavements}


def _name(pavement: int, number: str, organisation: str, counts: Counter[str]) -> str:
    if not number:
        return f"record-{pavement}"
    return number if counts[number] == 1 else f"{organisation}/{number}"
