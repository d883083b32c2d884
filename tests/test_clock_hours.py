"""Hours are read as a notice board gives them, and said the same way."""

import pytest

from registry.clock_hours import HoursError, read_clocks, read_hours, read_weekdays, write_hours


@pytest.mark.parametrize(
    ("line", "rows"),
    [
        ("Mon-Tue 07:00-15:00", [[0, "07:00", "15:00"], [1, "07:00", "15:00"]]),
        ("sun", [[6, "00:00", "00:00"]]),
        ("Monday, Sat 5:00-9.00", [[0, "05:00", "09:00"], [5, "05:00", "09:00"]]),
        ("Sat-Mon 22:00–24:00", [[n, "22:00", "00:00"] for n in (0, 5, 6)]),
        ("any day 07:00-22:00", [[n, "07:00", "22:00"] for n in range(7)]),
        ("07:00-22:00", [[n, "07:00", "22:00"] for n in range(7)]),
    ],
)
def test_line_is_read(line, rows):
    assert read_hours(line) == rows


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("Mo 07:00-15:00", "no day of the week"),
        ("Mon 07:00-25:00", "00:00 to 24:00"),
        ("Mon 07:00-24:30", "00:00 to 24:00"),
        ("Mon 07:61-15:00", "00:00 to 24:00"),
        ("Mon 07:00-12:00, 13:00-15:00", "one span of hours a line"),
    ],
)
def test_line_that_says_no_hours_is_refused_in_words(line, words):
    with pytest.raises(HoursError, match=words):
        read_hours(line)


@pytest.mark.parametrize(
    "line", ["Mon-Thu, Sat 05:00-09:00", "Sun", "any day 07:00-22:00", "Mon, Wed, Fri 06:00-14:00"]
)
def test_what_was_read_is_said_the_same_way(line):
    assert write_hours(read_hours(line)) == [line]


def test_hours_of_several_spans_stand_on_lines_of_their_own():
    rows = [*read_hours("Mon-Fri 07:00-12:00"), *read_hours("Mon-Thu 13:00-16:00")]
    assert write_hours(rows) == ["Mon-Fri 07:00-12:00", "Mon-Thu 13:00-16:00"]


def test_breaks_are_clock_times_alone():
    assert read_clocks(" 12:00-12:30 ") == ("12:00", "12:30")
    with pytest.raises(HoursError, match="from and to"):
        read_clocks("noon")


def test_days_are_read_in_order_and_once():
    assert read_weekdays("Fri, Mon-Wed, Tue") == [0, 1, 2, 4]
