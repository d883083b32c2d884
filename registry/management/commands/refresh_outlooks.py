"""refresh_outlooks [--as-of DATE] [--json FILE]: fit what has changed, and every outlook anew."""

import json
from argparse import ArgumentParser
from collections import Counter
from datetime import date
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from registry.actions.refresh_outlooks import PoolOutlooks, refresh_outlooks
from registry.faults import DomainError
from registry.gathering.outlooks import as_file
from registry.models import PavementNumber
from registry.units import read_date


class Command(BaseCommand):
    """Fit every pool whose records have changed, then work out and store all outlooks."""

    help = "Fit the decline of every pool whose records have changed; work out all outlooks."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--as-of", help="day, yyyy-mm-dd; today if left out")
        parser.add_argument("--json", type=Path, help="write everything to this file too")
        parser.add_argument("--again", action="store_true", help="fit also what has not changed")

    def handle(self, *args: Any, **options: Any) -> None:
        as_of = read_day(options["as_of"])
        found = []
        for pool in refresh_outlooks(as_of=as_of, force=options["again"]):
            found.append(pool)
            self.stdout.write(_line(pool))
        if not found:
            self.stdout.write("No pavements, so nothing to fit.")
        if options["json"]:
            text = json.dumps(_as_data(found), indent=1, allow_nan=False)
            options["json"].write_text(text + "\n", encoding="utf-8")


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
    rests = f"{fit.pavements} tested pavements, {fit.infiltration_tests} tests"
    said = f"fit {fit.pk} of {rests}" if fit.converged else f"no fit: {fit.message}"
    if not fit.converged and pool.used is not None:
        said += f" The one of {pool.used.made_at:%Y-%m-%d} stays in force."
    return f"{pool.pool}: {said}; {decided} of {len(pool.outlooks)} outlooks decided."


def _as_data(found: list[PoolOutlooks]) -> dict[str, Any]:
    """Return the file's content; a single pool's fit stands at the top, several by name."""
    outlooks = [outlook for pool in found for outlook in pool.outlooks]
    fits = {pool.pool.name: _fit(pool) for pool in found}
    head = next(iter(fits.values())) if len(fits) == 1 else {"pools": fits}
    return {**head, "pavements": as_file(outlooks, _names())}


def _fit(pool: PoolOutlooks) -> dict[str, Any]:
    if pool.used is None:
        return {"message": pool.fit.message}
    return {
        "log_posterior": pool.used.log_posterior,
        "log_likelihood": pool.used.log_likelihood,
        "parameters": pool.used.parameters,
    }


def _names() -> dict[int, str]:
    """Return the ref of each pavement: its first number, with the organisation on collision."""
    rows = (
        PavementNumber.objects.filter(is_taken_back=False, to_on__isnull=True)
        .order_by("-pk")
        .values_list("pavement_id", "number", "organisation__name")
    )
    first = {pk: (number, organisation) for pk, number, organisation in rows}
    counts = Counter(number for number, _ in first.values())
    return {
        pk: number if counts[number] == 1 else f"{organisation}/{number}"
        for pk, (number, organisation) in first.items()
    }
