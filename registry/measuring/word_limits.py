"""Thresholds of the condition word, each with whose it is.

The usual values are this record's own rule, no published source; a permit, a contract or a house
rule may set another from and to a day. What is used is said with the word that it makes.
"""

from dataclasses import dataclass, fields
from datetime import date, timedelta

from registry.measuring.months import months_before

USUAL = "usual value"


@dataclass(frozen=True)
class Threshold:
    """A value with whose it is: a permit, contract or house rule by its name, or the usual one."""

    value: float
    source: str = USUAL

    @property
    def by(self) -> str:
        """Return whose it is, to stand behind the value: "(usual value)", "(set by “Permit 7”)"."""
        return f"({USUAL})" if self.source == USUAL else f"(set by “{self.source}”)"


@dataclass(frozen=True, kw_only=True)
class WordLimits:
    """The thresholds that hold at one pavement on one day. Whole months, years, percent.

    look_back_months        a result counts for so long
    watch_factor            "working" from so many times the action level
    watch_years_left        "watch" where fewer years are left to the action level
    watch_reserve_percent   "watch" where less of the width is in reserve (N9)
    watch_test_months       after "watch", test again in so many months
    back_below_months       back below the action level so soon after the best cleaning: "restore"
    """

    look_back_months: Threshold = Threshold(24)
    watch_factor: Threshold = Threshold(2.0)
    watch_years_left: Threshold = Threshold(1.5)
    watch_reserve_percent: Threshold = Threshold(40)
    watch_test_months: Threshold = Threshold(6)
    back_below_months: Threshold = Threshold(6)

    def first_day(self, today: date) -> date:
        """Return the first day whose results still count on a day."""
        return months_before(today, int(self.look_back_months.value))

    def told(self) -> tuple[str, ...]:
        """Return in words which thresholds are used, a sentence for each that they are set by."""
        by_source: dict[str, list[str]] = {}
        for field in fields(self):
            given: Threshold = getattr(self, field.name)
            words = _PHRASES[field.name].format(f"{given.value:g}")
            by_source.setdefault(given.source, []).append(words)
        return tuple(
            f"{'Usual values' if source == USUAL else f'Set by “{source}”'}: {'; '.join(words)}."
            for source, words in by_source.items()
        )


_PHRASES = {
    "look_back_months": "readings count for {} months",
    "watch_factor": "watch below {} times the action level",
    "watch_years_left": "watch under {} years left",
    "watch_reserve_percent": "watch under {} % reserve",
    "watch_test_months": "after watch a new test in {} months",
    "back_below_months": "restore where back below the action level within {} months",
}
USUAL_LIMITS = WordLimits()


def first_day_without(on: date, months: int) -> date:
    """Return the first day on which something of day `on` no longer lies within so many months."""
    day = months_before(on, -months)
    while months_before(day, months) <= on:
        day += timedelta(days=1)
    return day
