"""Bare numbers as people write them: which readings a string of digits, points and commas allows.

A comma between digits is a decimal comma on one sheet and a thousands comma on the next.
Nothing here guesses: a reading is taken only where the others lie outside the field's range.
"""

import re
from collections.abc import Callable

from registry.faults import Ambiguous, UnitError

_SPACES = re.compile("[\u00a0\u2009\u202f\t ]+")


LONGEST = 80
"""Signs of a reading, with unit and spaces. Longer ones are no readings, and figures in the
hundreds are beyond what a number here can hold."""


def refuse_long(text: str) -> None:
    """Raise UnitError where a text is too long to be read as a number."""
    if len(text) > LONGEST:
        raise UnitError(f"“{text[:20]} …” is too long to be a number.")


def whole_number(text: str, most_figures: int = 18) -> int | None:
    """The whole number that a text of plain figures stands for, as in an address; else None.

    text          as it came: nothing is trimmed, and figures of other scripts are none
    most_figures  longer ones are none; 18 still fit a database's id
    """
    is_number = text.isascii() and text.isdecimal() and len(text) <= most_figures
    return int(text) if is_number else None


def tidy(text: str) -> str:
    """Every kind of space to a plain one, every minus to a hyphen."""
    return _SPACES.sub(" ", text).replace("\u2212", "-").strip()


def number_readings(digits: str, text: str) -> tuple[tuple[str, float], ...]:
    """Every number that `digits` (no sign, no unit) may stand for, as (how, value).

    The first is the plainest. Raises UnitError if there is none.
    """
    if re.fullmatch(r"\d{1,3}( \d{3})+([.,]\d+)?", digits):
        return (("spaces between thousands", float(digits.replace(" ", "").replace(",", "."))),)
    if re.fullmatch(r"\d+(\.\d*)?|\.\d+", digits):
        plain = (("decimal point", float(digits)),)
        if re.fullmatch(r"[1-9]\d{0,2}\.\d{3}", digits):
            return (*plain, ("point between thousands", float(digits.replace(".", ""))))
        return plain
    if re.fullmatch(r"[1-9]\d{0,2},\d{3}", digits):
        return (
            ("comma between thousands", float(digits.replace(",", ""))),
            ("decimal comma", float(digits.replace(",", "."))),
        )
    if re.fullmatch(r"\d+,\d*|,\d+", digits) and digits != ",":
        return (("decimal comma", float(digits.replace(",", "."))),)
    if re.fullmatch(r"\d{1,3}(,\d{3})+(\.\d+)?", digits):
        return (("comma between thousands", float(digits.replace(",", ""))),)
    if re.fullmatch(r"\d{1,3}(\.\d{3})+(,\d+)?", digits):
        return (("decimal comma", float(digits.replace(".", "").replace(",", "."))),)
    raise UnitError(f"“{text}” is not a number that can be read; check its commas and spaces.")


def settle(
    readings: tuple[tuple[str, float], ...],
    text: str,
    likely: Callable[[float], bool],
    unit: str,
    comma: str | None = None,
) -> float:
    """The one reading inside the field's range, else by the sheet's habit, else a question.

    readings  from `number_readings`
    likely    whether a value lies in the range of the field
    unit      printed in the question
    comma     "decimal" or "thousands", the habit of the sheet where a person has stated it
    """
    if len(readings) == 1:
        return readings[0][1]
    inside = [value for _, value in readings if likely(value)]
    if readings[0][0] == "decimal point":
        # A point is a decimal point unless only the other reading makes sense.
        if likely(readings[0][1]) or not inside:
            return readings[0][1]
    elif len(inside) == 1:
        return inside[0]
    elif comma is not None:
        return next(value for how, value in readings if comma in how)
    choices = tuple((f"{value:.10g} {unit} ({how})", value) for how, value in readings)
    listed = " or as ".join(label for label, _ in choices)
    raise Ambiguous(f"“{text}” can be read as {listed}. Which is it?", choices)
