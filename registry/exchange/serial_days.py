"""Days as record files have them: in ISO form, never as the number a spreadsheet keeps."""

import re
from datetime import date

from registry.faults import UnitError
from registry.numerals import tidy
from registry.units import read_date

_NUMBER = re.compile(r"\d{5}(?:[.,]\d+)?")


def refuse_number(text: str) -> None:
    """Raise UnitError for a number that may be a day: which one depends on the program's calendar.

    Spreadsheets count days from 1900 or from 1904 (ECMA-376 part 1, 18.17.4.1).
    """
    if _NUMBER.fullmatch(tidy(text)):
        raise UnitError(
            f"“{text}” is a number; a spreadsheet may show it as a day. "
            "Give the column a format of dates, year-month-day, and save it once more."
        )


def read_day(text: str) -> date:
    """Return the day of a cell. Raises UnitError, and Ambiguous where it may be two days."""
    refuse_number(text)
    return read_date(text)
