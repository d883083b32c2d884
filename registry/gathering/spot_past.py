"""What was found at one spot before: kept short, so that ten years of tests are judged in a pass.

Of the days that lie back, a judgement asks for two things alone: the last plain number of each
method, and tests of the last two days. So nothing else is carried on.
"""

from dataclasses import dataclass, field
from datetime import date, timedelta

from registry.measuring.reading import Method
from registry.measuring.surroundings import Earlier
from registry.models import InfiltrationTest

RECENT = timedelta(days=2)


@dataclass
class SpotPast:
    """Rows go in oldest first.

    last_number_on  the day of the last test that gave a usable number, that of today included
    """

    last_number_on: date | None = None
    as_built_mm_h: float | None = None
    _day: date | None = None
    _today: list[InfiltrationTest] = field(default_factory=list)
    _found_today: list[Earlier] = field(default_factory=list)
    _recent: list[Earlier] = field(default_factory=list)
    _last_numbers: dict[Method, Earlier] = field(default_factory=dict)

    def open_day(self, day: date) -> None:
        """Move to a day; what was found on the day before becomes the past."""
        if day == self._day:
            return
        for found in self._found_today:
            if found.mm_h is not None and found.sign == "":
                kept = self._last_numbers.get(found.method)
                if kept is None or kept.on < found.on:
                    self._last_numbers[found.method] = found
        recent = [e for e in (*self._recent, *self._found_today) if day - e.on <= RECENT]
        self._recent, self._day, self._today, self._found_today = recent, day, [], []

    @property
    def same_day(self) -> list[InfiltrationTest]:
        """Return the tests of the open day so far."""
        return self._today

    @property
    def earlier(self) -> tuple[Earlier, ...]:
        """Return what a judgement needs of the days before the open one."""
        recent = self._recent
        return (*(e for e in self._last_numbers.values() if e not in recent), *recent)

    def first_number_today(self, method: Method) -> float | None:
        """Return the first usable number of the open day by a method, mm/h; None for a bound."""
        for found in self._found_today:
            if found.method is method and found.mm_h is not None and found.sign == "":
                return found.mm_h
        return None

    def add(self, row: InfiltrationTest, found: Earlier) -> None:
        """Add a judged row of the open day."""
        self._today.append(row)
        self._found_today.append(found)
        if found.mm_h is not None:
            self.last_number_on = row.started_on
            if row.reason == "acceptance" and self.as_built_mm_h is None:
                self.as_built_mm_h = found.mm_h
