"""Long times without a test: what was not measured is named, never bridged."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from registry.measuring.condition import USABLE_MONTHS
from registry.measuring.months import months_before
from registry.measuring.spot_decline import DAYS_A_YEAR


@dataclass(frozen=True)
class Untested:
    """No test after `after` and before `before`, two days with a test."""

    after: date
    before: date

    @property
    def years(self) -> float:
        """Return its length in years of 365.25 days."""
        return (self.before - self.after).days / DAYS_A_YEAR


def untested_between(days: Iterable[date]) -> tuple[Untested, ...]:
    """Return where over 24 months lie between one day with a test and the next, oldest first.

    So long without a test a condition is not decided (`condition`). Days come in any order.
    """
    order = sorted(set(days))
    return tuple(Untested(a, b) for a, b in pairwise(order) if months_before(b, USABLE_MONTHS) > a)
