"""Times and dates as people write them: elapsed times, ISO dates, local instants.

Nothing is guessed. "3.42" may be 3.42 s or 3 min 42 s; "03/04/2022" is two days; an hour that
comes twice in autumn is asked for. Published rule for dates: ISO 8601, year-month-day.
"""

import re
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from registry.faults import Ambiguous, UnitError
from registry.numerals import number_readings, refuse_long, settle, tidy

# Seconds in which a reading at the ring may lie; tells a decimal comma from a thousands comma.
PLAUSIBLE_S = (5.0, 14_400.0)

_CLOCK = re.compile(r"(?:(\d+):)?(\d{1,3}):(\d{2}(?:[.,]\d+)?)")
_WORDS = re.compile(
    r"(?:(\d+) ?(?:hours?|hrs?|h) ?)?(?:(\d+) ?(?:minutes?|mins?|m|') ?)?"
    r"(?:(\d+(?:[.,]\d+)?) ?(?:seconds?|secs?|s|\"|''))?"
)
_SECONDS_WORD = re.compile(r" ?(?:seconds?|secs?|s)$")
_MINUTES_ONLY = re.compile(r"(\d+(?:[.,]\d+)?) ?(?:minutes?|mins?)")
_TWO_FIGURES = re.compile(r"(\d{1,3})[.,]([0-5]\d)")
_RUN_TOGETHER = re.compile(r"([1-9]\d?)([0-5]\d)")


def elapsed_readings(text: str) -> tuple[tuple[str, float], ...]:
    """Every elapsed time that `text` may stand for, as (label, seconds), the written one first.

    "3.42" gives 3.42 s, 3 min 42 s and 3.42 min; "342" gives 342 s and 3 min 42 s;
    "3:42" gives 3 min 42 s alone. Raises UnitError if it is no time at all.
    """
    refuse_long(text)
    clean = tidy(text).lower()
    if not clean:
        raise UnitError("The time is empty.")
    if clean.startswith("-") and any(c.isdigit() for c in clean):
        raise UnitError(f"“{text}”: an elapsed time cannot be negative.")
    spelled = _spelled(clean, text)
    if spelled is not None:
        return ((_label(spelled), spelled),)
    named = _SECONDS_WORD.search(clean) is not None
    numbers = number_readings(_SECONDS_WORD.sub("", clean), text)
    readings = [(f"{value:.10g} s ({how})", value) for how, value in numbers]
    if len(readings) == 1:
        readings = [(f"{numbers[0][1]:.10g} s", numbers[0][1])]
    if not named:
        readings += _unsaid_minutes(clean)
    return tuple(readings)


def read_elapsed(text: str) -> float:
    """Seconds from "67.3", "67,3 s", "3:42", "1:02:03", "3 min 42 s".

    "3.42" and "3,42" without a unit raise Ambiguous: a ring never drains in under about 5 s
    with a head on it, and two figures below 60 may be seconds. Raises UnitError otherwise.
    """
    readings = elapsed_readings(text)
    clean = tidy(text).lower()
    if _TWO_FIGURES.fullmatch(clean) and readings[0][1] < 10:
        listed = " or as ".join(label for label, _ in readings)
        raise Ambiguous(f"“{text}” can be read as {listed}. Which is it?", readings)
    if _spelled(clean, text) is not None:
        return readings[0][1]
    low, high = PLAUSIBLE_S
    numbers = number_readings(_SECONDS_WORD.sub("", clean), text)
    return settle(numbers, text, lambda seconds: low <= seconds <= high, "s")


def _spelled(clean: str, text: str) -> float | None:
    """A time whose parts are named or parted by colons; None if it is a bare number."""
    if clock := _CLOCK.fullmatch(clean):
        hours, minutes, seconds = clock.groups()
        return _add_up(hours, minutes, seconds, text, minutes_free=hours is None)
    if minutes := _MINUTES_ONLY.fullmatch(clean):
        return 60 * float(minutes[1].replace(",", "."))
    if _SECONDS_WORD.sub("", clean).replace(".", "").replace(",", "").replace(" ", "").isdigit():
        return None
    words = _WORDS.fullmatch(clean)
    if words and any(words.groups()):
        return _add_up(words[1], words[2], words[3], text, minutes_free=words[1] is None)
    if ":" in clean:
        raise UnitError(f"“{text}” is not a time; write minutes and seconds as 3:42.")
    return None


def _add_up(
    hours: str | None, minutes: str | None, seconds: str | None, text: str, *, minutes_free: bool
) -> float:
    h, m = int(hours or 0), int(minutes or 0)
    s = float((seconds or "0").replace(",", "."))
    leading = hours is None and minutes is None
    if (s >= 60 and not leading) or (m >= 60 and not minutes_free):
        raise UnitError(f"“{text}” is not a time: minutes and seconds go up to 59.")
    return 3600 * h + 60 * m + s


def _unsaid_minutes(clean: str) -> list[tuple[str, float]]:
    """The readings in which a bare number hides minutes."""
    if parts := _TWO_FIGURES.fullmatch(clean):
        minutes, seconds = int(parts[1]), int(parts[2])
        whole = float(clean.replace(",", "."))
        return [
            (f"{minutes} min {seconds} s", 60.0 * minutes + seconds),
            (f"{whole:g} minutes", 60 * whole),
        ]
    if parts := _RUN_TOGETHER.fullmatch(clean):
        minutes, seconds = int(parts[1]), int(parts[2])
        return [(f"{minutes} min {seconds} s", 60.0 * minutes + seconds)]
    return []


def _label(seconds: float) -> str:
    minutes, rest = divmod(seconds, 60)
    hours, minutes = divmod(int(minutes), 60)
    parts = [f"{hours} h"] if hours else []
    parts += [f"{minutes} min"] if minutes else []
    parts += [f"{rest:.10g} s"] if rest or not parts else []
    return " ".join(parts)


_ISO = re.compile(r"\d{4}-\d{2}-\d{2}")
_SLASHED = re.compile(r"(\d{1,2})[/.\-](\d{1,2})[/.\-](\d{4})")


FIRST_YEAR, LAST_YEAR = 1900, 2999
"""No pavement of this kind was placed before (common practice, no source), and no calendar here
goes on for ever: near years 1 and 9999 there is no room for a time zone. What must not lie in the
future is asked where it is read."""


def read_date(text: str) -> date:
    """An ISO date, "2022-04-03". "03/04/2022" raises Ambiguous with the days it may be.

    Raises UnitError for a day that does not exist, a year no record has, and every other form.
    """
    clean = tidy(text)
    if not clean:
        raise UnitError("The date is empty.")
    if _ISO.fullmatch(clean):
        try:
            return _in_time(date.fromisoformat(clean), text)
        except ValueError as fault:
            raise UnitError(f"“{text}” is not a date: there is no such day.") from fault
    if slashed := _SLASHED.fullmatch(clean):
        first, second, year = (int(part) for part in slashed.groups())
        either = (_day(year, first, second), _day(year, second, first))
        days = {day for day in either if day is not None}
        if not days:
            raise UnitError(f"“{text}” is not a date: there is no such day.")
        choices = tuple((day.isoformat(), _in_time(day, text)) for day in sorted(days))
        listed = " or ".join(label for label, _ in choices)
        raise Ambiguous(f"“{text}”: is that {listed}? Write year-month-day.", choices)
    raise UnitError(f"“{text}” is not a date that can be read; write year-month-day, 2022-04-03.")


def _in_time(day: date, text: str) -> date:
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise UnitError(f"“{text}”: years go from {FIRST_YEAR} to {LAST_YEAR} here.")
    return day


def _day(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None


_LOCAL = re.compile(
    r"(\d{4}-\d{2}-\d{2})[T ](\d{2}):(\d{2})(?::(\d{2}))? ?(Z|[+-]\d{2}:\d{2})?", re.IGNORECASE
)


def read_local_instant(text: str, tz_name: str, fold: int | None = None) -> datetime:
    """An instant from the site's clock, "2025-11-02 01:30", as a datetime in that time zone.

    tz_name  IANA name of the site's time zone, "America/New_York"
    fold     0 or 1, which of the two passes of a doubled hour is meant, once somebody has said

    A local time that was skipped in spring is refused; a doubled one without `fold` raises
    Ambiguous. An offset may be written ("-04:00") and then settles it, but must be one the
    site's clocks really had. Differences of such instants: see `elapsed_seconds`.
    """
    try:
        zone = ZoneInfo(tz_name)
    except (ZoneInfoNotFoundError, ValueError) as fault:
        raise UnitError(f"“{tz_name}” is not a time zone.") from fault
    parts = _LOCAL.fullmatch(tidy(text))
    if not parts:
        raise UnitError(f"“{text}” is not a day and time; write 2025-11-02 13:40.")
    day = read_date(parts[1])
    hour, minute, second = int(parts[2]), int(parts[3]), int(parts[4] or 0)
    if (hour, minute, second) == (24, 0, 0):
        raise UnitError(f"“{text}”: the last minute of a day is 23:59; 24:00 is 00:00 of the next.")
    if hour > 23 or minute > 59 or second > 59:
        raise UnitError(f"“{text}” is not a time of day.")
    passes = _passes(datetime(day.year, day.month, day.day, hour, minute, second), zone)
    if not passes:
        raise UnitError(
            f"“{text}” never was: the clocks in {tz_name} skipped that hour. "
            "Ask whether the tester's clock was put forward, or write the day alone."
        )
    if parts[5]:
        return _with_offset(passes, parts[5].upper(), text)
    if len(passes) == 2 and fold is None:
        choices = tuple(
            (f"the {which} {moment:%H:%M}, UTC{moment:%z}", moment)
            for which, moment in zip(("first", "second"), passes, strict=True)
        )
        listed = " or ".join(label for label, _ in choices)
        raise Ambiguous(f"“{text}” came twice that night: {listed}?", choices)
    return passes[min(fold or 0, len(passes) - 1)]


def _passes(wall: datetime, zone: ZoneInfo) -> tuple[datetime, ...]:
    """The instants, none, one or two, at which clocks in `zone` showed `wall`."""
    both = [wall.replace(tzinfo=zone, fold=fold) for fold in (0, 1)]
    real = [m for m in both if m.astimezone(UTC).astimezone(zone).replace(tzinfo=None) == wall]
    if len(real) == 2 and real[0].utcoffset() == real[1].utcoffset():
        return (real[0],)
    return tuple(real)


def _with_offset(passes: tuple[datetime, ...], offset: str, text: str) -> datetime:
    wanted = "+00:00" if offset == "Z" else offset
    for moment in passes:
        if f"{moment:%z}"[:3] + ":" + f"{moment:%z}"[3:5] == wanted:
            return moment
    raise UnitError(f"“{text}”: the clocks at the site were not at {offset} then.")


def elapsed_seconds(start: datetime, end: datetime) -> float:
    """Seconds really passed between two aware instants.

    Two datetimes of one zone subtract by the clock face in Python, an hour wrong across a
    change to or from summer time; so both go to UTC first.
    """
    if start.tzinfo is None or end.tzinfo is None:
        raise UnitError("An elapsed time needs instants with a time zone.")
    return (end.astimezone(UTC) - start.astimezone(UTC)).total_seconds()
