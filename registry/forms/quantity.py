"""Fields that turn what people write into SI and keep what was written."""

import re
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.html import format_html
from django.utils.safestring import SafeString

from registry.faults import DomainError
from registry.forms.keypad import keys_for
from registry.units import (
    Kind,
    System,
    Written,
    read_date,
    read_elapsed,
    read_empty,
    read_local_instant,
    read_quantity,
    unit_sign,
)

EIGHT_DIGITS = re.compile(r"(19|20)[0-9]{6}")
FOUR_DIGITS = re.compile(r"[0-9]{4}")
SHORT_HOUR = re.compile(r"[0-9]:[0-9]{2}")


@dataclass(frozen=True)
class MarkedEmpty:
    """One of the three kinds of empty, as written: nk, nm or na."""

    code: str


@dataclass(frozen=True)
class WrittenTime:
    """An elapsed time in seconds, with its text."""

    text: str
    seconds: float


def unit_hint(kind: Kind, system: System, words: object = "") -> SafeString:
    """Return a hint that ends with the unit of a bare number, after `words` of its own.

    The units can be changed on the form: both stand here, and `js/unit_hints.js` leaves the one
    that is chosen.
    """
    feet, metres = (unit_sign(kind, one) for one in (System.INCH_POUND, System.SI))
    own, other = (metres, feet) if system == System.SI else (feet, metres)
    both = own if own == other else f"{own} ({other} once the units above are changed)"
    unit = format_html('<span data-ft="{}" data-m="{}">{}</span>', feet, metres, both)
    if not words:
        return format_html("unit {}, unless you write another", unit)
    return format_html("{}. Unit {}, unless you write another.", str(words).rstrip("."), unit)


class QuantityField(forms.CharField):
    """A number with an optional unit: "12.05", "12,05 in", "306 mm"; or nk, nm, na.

    `system` is set by the form before cleaning. Cleans to Written, MarkedEmpty or None.
    `takes_empties` False leaves away the keys for nk, nm and na where the form refuses them.
    """

    def __init__(self, kind: Kind, *, takes_empties: bool = True, **options: Any) -> None:
        options.setdefault("required", False)
        options.setdefault("max_length", 40)
        super().__init__(**options)
        self.kind = kind
        self.system: System = System.INCH_POUND
        sign = "-" if kind is Kind.TEMPERATURE else ""
        keys = keys_for(takes_empties=takes_empties and not self.required, insert=sign)
        self.widget.attrs.update(autocomplete="off", size="10", **keys)

    @property
    def unit(self) -> str:
        """Return the unit that a bare number is read in."""
        return unit_sign(self.kind, self.system)

    def clean(self, value: Any) -> Written | MarkedEmpty | None:
        """Read the text; blank is "not filled in"."""
        text = super().clean(value)
        if not text:
            return None
        if (code := read_empty(text)) is not None:
            return MarkedEmpty(code)
        try:
            return read_quantity(text, self.kind, system=self.system)
        except DomainError as fault:
            raise ValidationError(str(fault)) from fault


class ElapsedField(forms.CharField):
    """An elapsed time: "67.3", "3:42"; cleans to WrittenTime, MarkedEmpty or None.

    `as_seconds` says that the writer has confirmed a text such as 3.42 to be seconds.
    """

    def __init__(self, **options: Any) -> None:
        options.setdefault("required", False)
        super().__init__(max_length=20, **options)
        keys = keys_for(takes_empties=not self.required, insert=":")
        self.widget.attrs.update(autocomplete="off", size="10", **keys)

    def clean(self, value: Any) -> WrittenTime | MarkedEmpty | None:
        """Read the text; what can be read in two ways is asked, never guessed."""
        text = super().clean(value)
        if not text:
            return None
        if (code := read_empty(text)) is not None:
            return MarkedEmpty(code)
        try:
            return WrittenTime(text, read_elapsed(text))
        except DomainError as fault:
            raise ValidationError(str(fault)) from fault


class DayField(forms.CharField):
    """A date written 2026-05-19, or 20260519: keypads of phones have no hyphen.

    Anything that could be two days is asked.
    """

    def __init__(self, **options: Any) -> None:
        super().__init__(max_length=20, **options)
        self.widget.attrs.update(inputmode="numeric", autocomplete="off", placeholder="yyyy-mm-dd")

    def clean(self, value: Any) -> date | None:
        """Read the date."""
        text = super().clean(value)
        if not text:
            return None
        if EIGHT_DIGITS.fullmatch(text):
            text = f"{text[:4]}-{text[4:6]}-{text[6:]}"
        try:
            return read_date(text)
        except DomainError as fault:
            raise ValidationError(str(fault)) from fault

    def prepare_value(self, value: Any) -> Any:
        """Show a stored date the way it is written."""
        return value.isoformat() if isinstance(value, date) else value


class ClockField(forms.CharField):
    """A clock time at the site, "14:05", "9:30" or, from a keypad without a colon, "1405".

    The form joins it to a day and the site's local time.
    """

    def __init__(self, **options: Any) -> None:
        options.setdefault("required", False)
        options.setdefault("max_length", 8)
        super().__init__(**options)
        self.widget.attrs.update(inputmode="numeric", autocomplete="off", placeholder="hh:mm")

    def clean(self, value: Any) -> str:
        """Return the clock time as it is written with a colon."""
        text = super().clean(value)
        if FOUR_DIGITS.fullmatch(text):
            return f"{text[:2]}:{text[2:]}"
        return f"0{text}" if SHORT_HOUR.fullmatch(text) else text


def join_clock(day: date, clock: str, zone: str, fold: str = "") -> datetime:
    """Return the instant of a clock time at a site. Raises ValidationError in the user's words.

    An hour that comes twice in autumn is asked, by `fold` "first" or "second".
    """
    which = {"": None, "first": 0, "second": 1}[fold]
    try:
        return read_local_instant(f"{day.isoformat()} {clock}", zone, which)
    except DomainError as fault:
        raise ValidationError(str(fault)) from fault
