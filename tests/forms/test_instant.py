"""A clock, or a day and a clock, as people write them at a site."""

from datetime import date

import pytest
from django.core.exceptions import ValidationError

from registry.forms.instant import InstantField


@pytest.mark.parametrize("day", [None, date(2023, 8, 22)], ids=["no day", "a day"])
@pytest.mark.parametrize("text", ["yesterday", "25:00", "9 99", "half past"])
def test_what_is_no_clock_is_said_back_as_it_was_typed(text, day):
    with pytest.raises(ValidationError) as refused:
        InstantField(zone="America/New_York", day=day).clean(text)
    told = refused.value.messages[0]
    assert text.split()[-1] in told
    assert "is no clock time" in told


@pytest.mark.parametrize(
    ("text", "shown"), [("9:30", "09:30"), ("1405", "14:05"), ("2023-08-29 08:00", "08:00")]
)
def test_a_clock_is_read_as_it_is_usual_to_write_it(text, shown):
    read = InstantField(zone="America/New_York", day=date(2023, 8, 22)).clean(text)
    assert f"{read.at:%H:%M}" == shown
