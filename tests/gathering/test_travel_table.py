"""A table of driving times is read as it is, or refused by its line."""

import pytest

from registry.gathering.travel_table import TravelTableError, read_travel_table


def test_lines_are_read_with_names_as_written():
    data = "\ufefffrom,to,minutes\nyard, Park ,4\n\nPark,yard,5.5\n".encode()
    assert read_travel_table(data) == [["yard", "Park", 4.0], ["Park", "yard", 5.5]]


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "first line"),
        (b"a,b,c\nyard,Park,4\n", "first line"),
        (b"from,to,minutes\n", "no line"),
        (b"from,to,minutes\nyard,Park\n", "Line 2: three columns"),
        (b"from,to,minutes\nyard,,4\n", "Line 2: a place has no name"),
        (b"from,to,minutes\nyard,Park,soon\n", "“soon” is no number"),
        (b"from,to,minutes\nyard,Park,-1\n", "no time to drive"),
        (b"from,to,minutes\nyard,Park,nan\n", "“nan” is no number"),
        (b"from,to,minutes\nyard,Park,1441\n", "no time to drive"),
        (b"\xff\xfe\x00", "UTF-8"),
        (b"from,to,minutes\nyard,\0,1\n", "not text"),
        (b'from,to,minutes\n"yard,Park,1\n', "cannot be read"),
    ],
)
def test_what_cannot_be_read_is_refused_by_its_line(data, said):
    with pytest.raises(TravelTableError, match=said):
        read_travel_table(data)
