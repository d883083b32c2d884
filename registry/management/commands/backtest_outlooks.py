"""backtest_outlooks [--as-of DATE] [--json FILE]: how well newest visits are foretold."""

import json
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand

from registry.actions.backtest_pool import CannotBacktest, backtest_pool
from registry.gathering.pools import pools_on
from registry.management.commands.refresh_outlooks import read_day


class Command(BaseCommand):
    """Back-test the fit in force of every pool, store it with the fit, and say what it found."""

    help = "Leave out each pavement's newest visit, foretell it, and compare, for every pool."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--as-of", help="day of the fit, yyyy-mm-dd; today if left out")
        parser.add_argument("--json", type=Path, help="write everything to this file too")
        parser.add_argument("--again", action="store_true", help="also where it was done already")

    def handle(self, *args: Any, **options: Any) -> None:
        as_of = read_day(options["as_of"])
        found: dict[str, Any] = {}
        pools = pools_on(as_of)
        for pool in sorted(pools, key=lambda pool: pool.pk):
            try:
                fit = backtest_pool(pool, pools[pool], as_of=as_of, force=options["again"])
            except CannotBacktest as fault:
                self.stdout.write(f"{pool}: {fault}")
                found[pool.name] = {"message": str(fault)}
                continue
            found[pool.name] = fit.back_test
            self.stdout.write(f"{pool}: {_words(fit.back_test)}")
        if not found:
            self.stdout.write("No pool has been fitted, so there is nothing to foretell.")
        if options["json"]:
            text = json.dumps({"pools": found}, indent=1, allow_nan=False)
            options["json"].write_text(text + "\n", encoding="utf-8")


def _words(found: Any) -> str:
    if found["message"]:
        return f"not foretold. {found['message']}"
    parts = [
        f"newest visits of {_counted(found['pavements'], 'pavement')}, "
        f"{_counted(found['numbers'], 'number')} and {_counted(found['bounds'], 'bound')}"
    ]
    if found["numbers"]:
        parts.append(
            f"{found['inside_80']:.1%} inside 80 %, {found['inside_95']:.1%} inside 95 %; "
            f"root mean square error {found['rmse']:.3f}"
        )
    parts.append(f"log score {found['log_score']:.3f}")
    parts += [_beside(one) for one in found["beside"]]
    return "; ".join(parts)


def _counted(count: int, noun: str) -> str:
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def _beside(one: dict[str, Any]) -> str:
    if not one["numbers"]:
        return f"{one['name']}: says nothing of any"
    return (
        f"{one['name']} {one['rmse']:.3f} (on the same {one['numbers']}: {one['model_rmse']:.3f})"
    )
