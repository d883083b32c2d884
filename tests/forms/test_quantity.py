"""What a keypad can write: dates without hyphens, clock times without a colon."""

from datetime import date

import pytest
from django.core.exceptions import ValidationError

from registry.forms.quantity import ClockField, DayField


@pytest.mark.parametrize("text", ["2026-05-19", "20260519"])
def test_date_is_read_with_and_without_hyphens(text):
    assert DayField().clean(text) == date(2026, 5, 19)


@pytest.mark.parametrize("text", ["20261319", "19052026", "2026519"])
def test_digits_that_are_no_date_are_refused(text):
    with pytest.raises(ValidationError):
        DayField().clean(text)


@pytest.mark.parametrize(
    ("text", "read"), [("14:05", "14:05"), ("1405", "14:05"), ("9:30", "09:30"), ("", "")]
)
def test_clock_time_is_read_from_a_keypad(text, read):
    assert ClockField().clean(text) == read
