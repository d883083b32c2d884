"""What a string of digits, points and commas may stand for; nothing is guessed."""

import pytest

from registry.faults import Ambiguous, UnitError
from registry.numerals import LONGEST, number_readings, refuse_long, settle, tidy, whole_number


def values(digits):
    return [value for _, value in number_readings(digits, digits)]


@pytest.mark.parametrize(
    ("digits", "found"),
    [
        ("12", [12.0]),
        ("11.98", [11.98]),
        (".5", [0.5]),
        ("11,98", [11.98]),
        ("1,234", [1234.0, 1.234]),
        ("1.234", [1.234, 1234.0]),
        ("0,234", [0.234]),
        ("1,234,567.5", [1234567.5]),
        ("1.234.567,5", [1234567.5]),
        ("1 234,5", [1234.5]),
    ],
)
def test_every_reading_of_a_number_the_plainest_first(digits, found):
    assert values(digits) == found


@pytest.mark.parametrize("digits", ["", ",", "1,23,4", "1 23", "12a", "1..2", "-1"])
def test_what_is_no_number_is_refused(digits):
    with pytest.raises(UnitError, match="not a number"):
        values(digits)


def settled(digits, likely, comma=None):
    return settle(number_readings(digits, digits), digits, likely, "mm", comma)


def test_reading_inside_the_range_of_the_field_is_taken():
    assert settled("1,234", lambda v: v > 100) == 1234.0
    assert settled("1.234", lambda v: True) == 1.234, "a point is a decimal point"


def test_point_that_can_only_be_between_thousands_is_asked_about():
    with pytest.raises(Ambiguous, match="point between thousands"):
        settled("1.234", lambda v: v > 100)


def test_where_both_readings_make_sense_a_person_is_asked_or_the_sheets_habit_counts():
    with pytest.raises(Ambiguous) as asked:
        settled("1,234", lambda v: True)
    assert [value for _, value in asked.value.choices] == [1234.0, 1.234]
    assert settled("1,234", lambda v: True, "decimal") == 1.234
    assert settled("1,234", lambda v: True, "thousands") == 1234.0


def test_spaces_and_minus_signs_of_every_kind_are_one():
    assert tidy(" \u22121\u202f234\u00a0 5 ") == "-1 234 5"


def test_endless_text_is_no_number():
    refuse_long("1" * LONGEST)
    with pytest.raises(UnitError, match="too long"):
        refuse_long("1" * (LONGEST + 1))


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("0", 0),
        ("007", 7),
        ("9" * 18, 10**18 - 1),
        ("9" * 19, None),
        ("", None),
        ("-1", None),
        ("1e3", None),
        (" 3", None),
        ("²", None),
        ("\u0663", None),  # three, in figures of another script
        ("\0", None),
    ],
)
def test_a_whole_number_of_an_address_is_of_plain_figures(text, number):
    assert whole_number(text) == number
