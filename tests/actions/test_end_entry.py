"""Something ends once, with a reason, after it began; it stays readable."""

from datetime import date

import pytest

from registry.actions.end_entry import CannotEnd, end_entry
from registry.models import JournalLine
from tests.factories import CriteriaFactory, DirtSourceFactory, SectionFactory, SpotFactory

pytestmark = pytest.mark.django_db
BEGAN, LATER = date(2023, 5, 1), date(2024, 5, 1)


def end(row, on=LATER, why="permit ran out"):
    return end_entry(row, on=on, why=why, by=None, organisation=None)


def test_dated_entry_ends_by_its_last_day_and_a_line():
    row = end(CriteriaFactory(from_on=BEGAN))
    assert row.to_on == LATER
    line = JournalLine.objects.about(row).get()
    assert (line.verb, line.changes) == ("ended", {"to_on": ["", "2024-05-01"]})


def test_source_of_dirt_is_stopped():
    row = end(DirtSourceFactory(seen_on=BEGAN), why="bed was planted")
    assert row.stopped_on == LATER
    assert JournalLine.objects.about(row).get().verb == "stopped"


@pytest.mark.parametrize(
    ("on", "why", "words"),
    [
        (LATER, " ", "Say why"),
        (date(2023, 4, 30), "over", "cannot end before 2023-05-01"),
        (BEGAN, "over", "on the day it began"),
    ],
)
def test_end_needs_a_reason_and_a_later_day(on, why, words):
    row = SectionFactory(from_on=BEGAN)
    with pytest.raises(CannotEnd, match=words):
        end(row, on, why)
    row.refresh_from_db()
    assert row.to_on is None


def test_it_ends_once_and_keeps_its_first_day():
    row = end(SectionFactory(from_on=BEGAN))
    with pytest.raises(CannotEnd, match="has ended already"):
        end(row, on=date(2025, 1, 1))
    row.refresh_from_db()
    assert row.to_on == LATER


def test_what_has_no_end_is_a_programmers_error():
    with pytest.raises(TypeError):
        end(SpotFactory())
