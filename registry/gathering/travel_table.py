"""Driving times that a person brings as a table: lines of from, to, minutes."""

import csv
import re
from io import StringIO

from registry.faults import DomainError

HEAD = ("from", "to", "minutes")
LARGEST_BYTES = 20 * 2**20
MOST_MINUTES = 24 * 60
_MINUTES = re.compile(r"[+-]?[0-9]{1,9}(\.[0-9]{0,9})?")


class TravelTableError(DomainError):
    """A table of driving times that cannot be read."""


def read_travel_table(data: bytes) -> list[list[str | float]]:
    """Return rows of [from, to, minutes] of a CSV file in UTF-8.

    Raises TravelTableError, naming the line, where a name is empty or the minutes are no number.
    """
    if len(data) > LARGEST_BYTES:
        raise TravelTableError("The table of driving times is larger than 20 MB.")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as wrong:
        raise TravelTableError("The table of driving times is not UTF-8 text.") from wrong
    if "\0" in text:
        raise TravelTableError("The table of driving times is not text.")
    try:
        lines = list(csv.reader(StringIO(text, newline=""), strict=True))
    except csv.Error as wrong:
        raise TravelTableError(f"The table of driving times cannot be read: {wrong}.") from wrong
    if not lines or tuple(cell.strip().casefold() for cell in lines[0]) != HEAD:
        raise TravelTableError("The first line of the table reads: from,to,minutes")
    rows = [_row(n, line) for n, line in enumerate(lines[1:], start=2) if any(line)]
    if not rows:
        raise TravelTableError("The table of driving times has no line.")
    return rows


def _row(n: int, line: list[str]) -> list[str | float]:
    if len(line) != len(HEAD):
        raise TravelTableError(f"Line {n}: three columns are needed, from, to and minutes.")
    begins, ends, written = (cell.strip() for cell in line)
    if not begins or not ends:
        raise TravelTableError(f"Line {n}: a place has no name.")
    if _MINUTES.fullmatch(written) is None:
        raise TravelTableError(f"Line {n}: “{written}” is no number of minutes.")
    minutes = float(written)
    if not 0 <= minutes <= MOST_MINUTES:
        raise TravelTableError(f"Line {n}: {written} minutes is no time to drive.")
    return [begins, ends, minutes]
