"""Fields of the record that may be answered nk, nm or na, and lists written one a line."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from registry.faults import DomainError, UnitError
from registry.forms.keypad import keys_for
from registry.forms.quantity import DayField, MarkedEmpty
from registry.numerals import number_readings, settle, tidy
from registry.units import Kind, System, read_empty, read_quantity


@dataclass(frozen=True)
class WrittenNumber:
    """A bare number, with its text."""

    text: str
    value: float


class NumberField(forms.CharField):
    """A number without a unit, point or comma: cleans to WrittenNumber, MarkedEmpty or None.

    `least` and `most` are its range, ends included; `whole` allows whole numbers only.
    """

    def __init__(
        self,
        *,
        least: float | None = None,
        most: float | None = None,
        whole: bool = False,
        takes_empties: bool = True,
        **options: Any,
    ) -> None:
        options.setdefault("required", False)
        super().__init__(max_length=24, **options)
        self.least, self.most, self.whole = least, most, whole
        sign = "-" if least is None or least < 0 else ""
        keys = keys_for(takes_empties=takes_empties and not self.required, insert=sign)
        self.widget.attrs.update(autocomplete="off", size="10", **keys)

    def clean(self, value: Any) -> WrittenNumber | MarkedEmpty | None:
        """Read the text; out of range is refused with the range."""
        text = super().clean(value)
        if not text:
            return None
        if (code := read_empty(text)) is not None:
            return MarkedEmpty(code)
        try:
            number = self._number(text)
        except DomainError as fault:
            raise ValidationError(str(fault)) from fault
        if not self._is_in_range(number):
            raise ValidationError(f"“{text}” is out of range: {self._range_words()}.")
        if self.whole and number != int(number):
            raise ValidationError(f"“{text}” is not a whole number.")
        return WrittenNumber(text, number)

    def _number(self, text: str) -> float:
        clean = tidy(text)
        digits = clean.lstrip("+-")
        if not digits or not set(digits) <= set("0123456789., "):
            raise UnitError(f"“{text}” is not a number.")
        sign = -1.0 if clean.startswith("-") else 1.0
        return sign * settle(
            number_readings(digits, text), text, lambda v: self._is_in_range(sign * v), ""
        )

    def _is_in_range(self, number: float) -> bool:
        above = self.least is None or number >= self.least
        return above and (self.most is None or number <= self.most)

    def _range_words(self) -> str:
        if self.least is None:
            return f"at most {self.most:g}"
        return f"from {self.least:g}" if self.most is None else f"{self.least:g} to {self.most:g}"


class MarkedDayField(DayField):
    """A date that may also be answered nk, nm or na; then it cleans to MarkedEmpty."""

    def __init__(self, **options: Any) -> None:
        super().__init__(**options)
        self.widget.attrs.update(keys_for(keypad="numeric", takes_empties=not self.required))

    def clean(self, value: Any) -> date | MarkedEmpty | None:  # type: ignore[override]
        """Read the date or the kind of empty."""
        if (code := read_empty(str(value or ""))) is not None:
            return MarkedEmpty(code)
        return super().clean(value)


class MarkedChoiceField(forms.TypedChoiceField):
    """A choice that may also be answered "not known" or "does not apply"."""

    def __init__(self, *, choices: Any, **options: Any) -> None:
        own = [(value, label) for value, label in choices if value not in ("", None)]
        taken = {str(value) for value, _ in own}
        self.marks = [
            (code, word)
            for code, word in (("nk", "not known"), ("na", "does not apply"))
            if code not in taken
        ]
        options["required"] = False
        super().__init__(choices=[("", "not filled in"), *own, *self.marks], **options)

    def clean(self, value: Any) -> Any:
        """Return the value, MarkedEmpty, or the empty value."""
        chosen = forms.ChoiceField.clean(self, value)
        if chosen in dict(self.marks):
            return MarkedEmpty(chosen)
        return self._coerce(chosen)


class LinesField(forms.CharField):
    """Several things, one a line; `read_line` reads one and says what is wrong with it.

    Cleans to the list of what was read. `write_line` is the way back, for a correction.
    """

    widget = forms.Textarea(attrs={"rows": 4})

    def __init__(self, **options: Any) -> None:
        options.setdefault("required", False)
        options.setdefault("max_length", 4000)
        super().__init__(**options)
        self.system: System = System.INCH_POUND

    def read_line(self, line: str) -> Any:
        """Return what one line says. Raises ValidationError in the user's words."""
        raise NotImplementedError

    def write_line(self, stored: Any) -> str:
        """Return the line for a stored thing, with its units."""
        raise NotImplementedError

    def clean(self, value: Any) -> list[Any]:
        """Read line by line; every line that cannot be read is named."""
        text = super().clean(value)
        found, wrong = [], []
        for line in filter(None, (line.strip() for line in text.splitlines())):
            try:
                found.append(self.read_line(line))
            except ValidationError as fault:
                wrong += [f"“{line}”: {message}" for message in fault.messages]
        if wrong:
            raise ValidationError(wrong)
        return found

    def prepare_value(self, value: Any) -> Any:
        """Show a stored list one thing a line."""
        if isinstance(value, list | tuple):
            return "\n".join(self.write_line(thing) for thing in value)
        return value

    def length(self, text: str) -> float:
        """Return the metres of a length as written."""
        try:
            return read_quantity(text, Kind.LENGTH, system=self.system).si
        except DomainError as fault:
            raise ValidationError(str(fault)) from fault
