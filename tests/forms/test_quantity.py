"""What a keypad can write, and the unit that stands beside each measure."""

from datetime import date

import pytest
from django.core.exceptions import ValidationError

from registry.forms.criteria import CriteriaForm
from registry.forms.quantity import ClockField, DayField, unit_hint
from registry.units import Kind, System
from tests.factories import PavementFactory


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


@pytest.mark.parametrize(
    ("system", "said"),
    [
        (System.INCH_POUND, ">ft² (m² once the units above are changed)</span>"),
        (System.SI, ">m² (ft² once the units above are changed)</span>"),
    ],
)
def test_hint_names_the_unit_of_both_systems_and_which_holds_now(system, said):
    hint = unit_hint(Kind.AREA, system)
    assert said in hint
    assert 'data-ft="ft²" data-m="m²"' in hint
    assert "&lt;b&gt;. Unit" in unit_hint(Kind.AREA, system, "<b>.")


@pytest.mark.django_db
def test_measure_with_a_hint_of_its_own_keeps_its_unit():
    fields = CriteriaForm(system="si", parent=PavementFactory()).fields
    for name in ("action_rate_mm_h", "required_rate_mm_h", "floor_mm_h"):
        assert ">mm/h (in/h once" in fields[name].help_text, name
