"""Limits of the trade that a sweep is held to, each with whose it is.

What a permit, a contract or a house of its own sets comes in the place of the house rule given
here: dry 24 h after rain for a vacuum; a wash at 40 °F (4.4 °C) or more, without frost (0 °C)
within 24 h and not within 28 days of placing; a sweep within 3 weeks of the last sand; a dry day
for the after-test within 14 days. All are common practice, no source.
"""

from dataclasses import dataclass, fields

HOUSE_RULE = "house rule"


@dataclass(frozen=True)
class Limit:
    """A value with whose it is: a permit or contract by its name, or "house rule"."""

    value: float
    source: str = HOUSE_RULE


@dataclass(frozen=True, kw_only=True)
class WorkLimits:
    """The limits that hold at one place. Hours, degrees Celsius and whole days.

    dry_h                   from the end of rain to work on a dry surface
    lowest_wash_c           no wash below it, where the order names no temperature of its own
    frost_c                 a day that goes down to it counts as frost
    wash_after_placing_days from placing to the first wash
    after_sand_days         from the last sand to the latest day of the sweep
    after_test_days         from the work to a dry day for the after-test
    """

    dry_h: Limit = Limit(24.0)
    lowest_wash_c: Limit = Limit((40 - 32) * 5 / 9)
    frost_c: Limit = Limit(0.0)
    wash_after_placing_days: Limit = Limit(28)
    after_sand_days: Limit = Limit(21)
    after_test_days: Limit = Limit(14)

    @property
    def set_otherwise(self) -> tuple[tuple[str, Limit], ...]:
        """Return the limits that are not those of the house rule, by name."""
        own = ((f.name, getattr(self, f.name)) for f in fields(self))
        return tuple((name, limit) for name, limit in own if limit.source != HOUSE_RULE)


HOUSE_LIMITS = WorkLimits()


def days_in_words(days: float) -> str:
    """Return whole weeks as weeks, else days: "3 weeks", "10 days", "1 day"."""
    if days >= 14 and days % 7 == 0:
        return f"{days / 7:g} weeks"
    return f"{days:g} day{'' if days == 1 else 's'}"


def by_whom(limit: Limit) -> str:
    """Return " by “Permit 7”" for a limit that a document sets, "" for that of the house rule."""
    return "" if limit.source == HOUSE_RULE else f" by “{limit.source}”"
