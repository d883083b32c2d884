"""backtest_outlooks [--as-of DATE] [--json FILE]: how well newest visits are foretold."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand

from registry.actions.backtest_pool import CannotBacktest, backtest_pool
from registry.gathering.pools import pools_on
from registry.management.commands.refresh_outlooks import (
    counted,
    pool_names,
    read_day,
    refuse_unwritable,
    write_json,
)


class Command(BaseCommand):
    """Back-test the fit in force of every pool, store it with the fit, and say what it found."""

    help = "Leave out each pavement's newest visit, foretell it, and compare, for every pool."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--as-of",
            metavar="DAY",
            help="day of the fit, year-month-day; today if left out",
        )
        parser.add_argument(
            "--json", type=Path, metavar="FILE", help="write what was found to this file too"
        )
        parser.add_argument("--again", action="store_true", help="also where it was done already")

    def handle(self, *args: Any, **options: Any) -> None:
        as_of = read_day(options["as_of"])
        refuse_unwritable(options["json"])
        found: dict[str, Any] = {}
        pools = pools_on(as_of)
        names = pool_names(pools)
        for pool in sorted(pools, key=lambda pool: pool.pk):
            try:
                fit = backtest_pool(pool, pools[pool], as_of=as_of, force=options["again"])
            except CannotBacktest as fault:
                self.stdout.write(f"{pool}: {fault}")
                found[names[pool.pk]] = {"message": str(fault)}
                continue
            found[names[pool.pk]] = fit.back_test
            self.stdout.write(f"{pool}: {_words(fit.back_test)}")
        if not found:
            self.stdout.write("No pool has been fitted, so there is nothing to foretell.")
        write_json(options["json"], lambda: {"pools": found})


def _words(found: Any) -> str:
    if found["message"]:
        return f"not foretold. {found['message']}"
    parts = [
        f"newest visits of {counted(found['pavements'], 'pavement')}, "
        f"{counted(found['numbers'], 'number')} and {counted(found['bounds'], 'bound')}"
    ]
    if found["numbers"]:
        parts.append(
            f"{found['inside_80']:.1%} inside 80 %, {found['inside_95']:.1%} inside 95 %; "
            f"root mean square error {found['rmse']:.3f}"
        )
    parts.append(f"log score {found['log_score']:.3f}")
    parts += [_beside(one) for one in found["beside"]]
    return "; ".join(parts)


def _beside(one: dict[str, Any]) -> str:
    if not one["numbers"]:
        return f"{one['name']}: says nothing of any"
    return (
        f"{one['name']} {one['rmse']:.3f} (on the same {one['numbers']}: {one['model_rmse']:.3f})"
    )
