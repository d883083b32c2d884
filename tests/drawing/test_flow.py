"""Legend entries stand one after another and break to the width like words."""

from registry.drawing.flow import Entry, flow
from registry.drawing.primitives import Circle, Text

WIDE = 200.0


def texts(found):
    return [item for item in found.items if isinstance(item, Text)]


def test_entries_stand_side_by_side_while_they_fit():
    one, two = texts(flow([Entry("drain"), Entry("well")], 10.0, 5.0, WIDE))
    assert one.at[0] == 10.0 < two.at[0] and one.at[1] == two.at[1]


def test_entry_that_does_not_fit_begins_a_row_of_its_own():
    entries = [Entry("drain"), Entry("well")]
    found = flow(entries, 0.0, 0.0, entries[0].width_mm + 1.0)
    one, two = texts(found)
    assert two.at[0] == 0.0 and two.at[1] > one.at[1]
    assert found.height_mm == 2 * flow(entries, 0.0, 0.0, WIDE).height_mm


def test_words_wider_than_the_width_are_broken_and_none_is_lost():
    words = "datum is the cross on the curb at the foot of the lanes"
    whole = flow([Entry(words), Entry("well")], 0.0, 0.0, 30.0)
    *broken, last = texts(whole)
    assert len(broken) > 1 and " ".join(text.text for text in broken) == words
    assert last.at[1] >= broken[-1].at[1], "the next entry stands on no line of it"
    assert whole.height_mm >= last.at[1]


def test_sign_stands_before_its_words():
    entry = Entry("spot", lambda at: (Circle(at, 1.0),), 3.0)
    circle, text = flow([entry], 0.0, 0.0, WIDE).items
    assert circle.centre[0] + 1.0 < text.at[0]


def test_no_entries_take_no_room():
    assert flow([], 0.0, 0.0, WIDE).height_mm == 0
