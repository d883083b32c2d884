"""A month as whole weeks, Monday first (ISO 8601), with the days beside it that fill them."""

from dataclasses import dataclass
from datetime import MAXYEAR, MINYEAR, date, timedelta

DAYS_SHOWN = 7


@dataclass(frozen=True)
class Month:
    """A month of a year; `weeks` are tuples of seven days."""

    first_on: date
    weeks: tuple[tuple[date, ...], ...]

    @property
    def begins_on(self) -> date:
        """Return the first day shown."""
        return self.weeks[0][0]

    @property
    def ends_on(self) -> date:
        """Return the last day shown."""
        return self.weeks[-1][-1]

    @property
    def before(self) -> str:
        """Return the month before as "2026-08", or an empty string where no calendar has one."""
        if (self.first_on.year, self.first_on.month) <= (FIRST_YEAR, 1):
            return ""
        return f"{self.first_on - timedelta(days=1):%Y-%m}"

    @property
    def after(self) -> str:
        """Return the month after as "2026-10", or an empty string where no calendar has one."""
        if (self.first_on.year, self.first_on.month) >= (LAST_YEAR, 12):
            return ""
        return f"{self.first_on.replace(day=28) + timedelta(days=4):%Y-%m}"

    def holds(self, day: date) -> bool:
        """Say whether a day lies in the month itself."""
        return (day.year, day.month) == (self.first_on.year, self.first_on.month)


FIRST_YEAR, LAST_YEAR = MINYEAR + 1899, MAXYEAR - 7900
"""1900 to 2099: pavements are no older, and nothing is dated further ahead."""


def month_of(day: date) -> Month:
    """Return the month in which a day lies."""
    first = day.replace(day=1)
    begin = first - timedelta(days=first.weekday())
    weeks: list[tuple[date, ...]] = []
    while not weeks or (begin.year, begin.month) <= (first.year, first.month):
        weeks.append(tuple(begin + timedelta(days=n) for n in range(DAYS_SHOWN)))
        begin += timedelta(days=DAYS_SHOWN)
    return Month(first, tuple(weeks))


def month_named(text: str) -> Month | None:
    """Return the month of "2026-09", or None where the text names none from 1900 to 2099."""
    year, dash, month = text.partition("-")
    if not (dash and len(year) == 4 and len(month) == 2 and (year + month).isascii()):
        return None
    if not (year + month).isdigit() or not FIRST_YEAR <= int(year) <= LAST_YEAR:
        return None
    return month_of(date(int(year), int(month), 1)) if 1 <= int(month) <= 12 else None
