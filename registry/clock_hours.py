"""Hours of the week as a notice board gives them: "Mon-Fri 07:00-15:00", and back.

Stored as [weekday, from, to]: 0 for Monday to 6 for Sunday, clock times "HH:MM" at the place. A
span that ends at or before it begins runs over midnight; 00:00-00:00 is the whole day.
"""

import re
from collections.abc import Iterable

from registry.faults import DomainError

DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
WHOLE_DAY = ("00:00", "00:00")
_CLOCKS = re.compile(r"([0-9]{1,2})[:.]([0-9]{2})\s*[-–]\s*([0-9]{1,2})[:.]([0-9]{2})")
HourRow = list[int | str]


class HoursError(DomainError):
    """A line that gives no hours that can be read."""


def read_hours(line: str) -> list[HourRow]:
    """Return the rows of one line: "Mon-Thu, Sat 05:00-09:00", "Sun", "any day 07:00-22:00".

    Days without clock times mean the whole day. Raises HoursError.
    """
    clocks = _CLOCKS.search(line)
    days = read_weekdays(line[: clocks.start()] if clocks else line)
    begins, ends = _clock_pair(clocks.groups()) if clocks else WHOLE_DAY
    if clocks and line[clocks.end() :].strip():
        raise HoursError("Write one span of hours a line: Mon-Fri 07:00-15:00.")
    return [[day, begins, ends] for day in days]


def read_clocks(line: str) -> tuple[str, str]:
    """Return ("12:00", "12:30") of "12:00-12:30". Raises HoursError."""
    clocks = _CLOCKS.fullmatch(line.strip())
    if clocks is None:
        raise HoursError("Write from and to as clock times: 12:00-12:30.")
    return _clock_pair(clocks.groups())


def _clock_pair(parts: tuple[str, ...]) -> tuple[str, str]:
    hours, minutes = (int(parts[0]), int(parts[2])), (int(parts[1]), int(parts[3]))
    if (
        max(hours) > 24
        or max(minutes) > 59
        or any(h == 24 and m for h, m in zip(hours, minutes, strict=True))
    ):
        raise HoursError("Clock times run from 00:00 to 24:00.")
    begins, ends = (f"{h % 24:02d}:{m:02d}" for h, m in zip(hours, minutes, strict=True))
    return begins, ends


def read_weekdays(words: str) -> list[int]:
    """Return the days of "Mon-Thu, Sat", in order; "any day" and nothing are all seven."""
    text = words.strip().strip(",").casefold()
    if text in {"", "any day", "daily", "every day"}:
        return list(range(7))
    found: set[int] = set()
    for part in filter(None, (p.strip() for p in text.split(","))):
        first, _, last = (p.strip() for p in part.replace("–", "-").partition("-"))
        begin = _weekday(first)
        end = _weekday(last) if last else begin
        found |= {(begin + n) % 7 for n in range((end - begin) % 7 + 1)}
    return sorted(found)


def _weekday(word: str) -> int:
    names = [day.casefold() for day in DAYS]
    if word[:3] not in names or len(word) < 3:
        listed = ", ".join(DAYS)
        raise HoursError(f"“{word}” is no day of the week. Write {listed}, or any day.")
    return names.index(word[:3])


def write_weekdays(days: Iterable[int]) -> str:
    """Return "Mon-Thu, Sat" for days of the week."""
    chosen = sorted(set(days))
    if chosen == list(range(7)):
        return "any day"
    runs: list[list[int]] = []
    for day in chosen:
        if runs and day == runs[-1][-1] + 1:
            runs[-1].append(day)
        else:
            runs.append([day])
    return ", ".join(
        DAYS[run[0]] if len(run) == 1 else f"{DAYS[run[0]]}-{DAYS[run[-1]]}" for run in runs
    )


def write_clocks(begins: str, ends: str) -> str:
    """Return "07:00-15:00", or "all day"."""
    return "all day" if (begins, ends) == WHOLE_DAY else f"{begins}-{ends}"


def write_hours(rows: Iterable[HourRow]) -> list[str]:
    """Return the lines for stored rows; days that share their hours share a line."""
    days_of: dict[tuple[str, str], list[int]] = {}
    for weekday, begins, ends in rows:
        days_of.setdefault((str(begins), str(ends)), []).append(int(weekday))
    return [
        f"{write_weekdays(days)} {write_clocks(*span)}".removesuffix(" all day")
        for span, days in days_of.items()
    ]
