"""Corrections are lines: who, when, why, old, new; the old stays readable."""

import pytest

from registry.actions.correct_entry import CannotBeCorrected, correct_entry
from registry.actions.void_entry import void_entry
from registry.models import JournalLine
from registry.models.entry import Change
from tests import factories


@pytest.fixture
def section(db):
    return factories.SectionFactory(mix="A", as_written={"area_m2": "446"}, area_m2=446.0)


def correct(row, why="read again", **changes):
    person, organisation = factories.PersonFactory(), factories.OrganisationFactory()
    return correct_entry(row, changes=changes, why=why, by=person, organisation=organisation)


def test_each_correction_follows_on_from_the_one_before(section):
    correct(section, area_m2=Change(4800.0, "4,800"))
    correct(section, area_m2=Change(4790.0, "4790"))
    lines = JournalLine.objects.corrections().order_by("pk")
    assert [line.changes["area_m2"] for line in lines] == [["446", "4,800"], ["4,800", "4790"]]
    section.refresh_from_db()
    assert section.as_written["area_m2"] == "446"


def test_kind_of_empty_is_told_in_words_and_stored(section):
    correct(section, area_m2=Change(None, "", empty="nm"))
    section.refresh_from_db()
    assert section.kind_of_empty("area_m2") == "not measured"
    assert JournalLine.objects.get().changes == {"area_m2": ["446", "not measured"]}
    correct(section, area_m2=Change(446.0, "446"))
    section.refresh_from_db()
    assert section.empties == {}


def test_value_that_another_changed_meanwhile_is_not_overwritten(section):
    seen = Change("C", "", seen="A", is_seen_known=True)
    correct(section, mix=Change("B", ""))
    with pytest.raises(CannotBeCorrected, match="is now B"):
        correct(section, mix=seen)


@pytest.mark.parametrize(
    ("why", "change", "words"),
    [(" ", Change("B", ""), "Say why"), ("read", Change("A", ""), "Nothing was changed")],
)
def test_correction_without_reason_or_difference_is_refused(section, why, change, words):
    with pytest.raises(CannotBeCorrected, match=words):
        correct(section, why, mix=change)
    assert not JournalLine.objects.exists()


def test_void_entry_is_not_corrected(section):
    void_entry(section, why="never built", by=factories.PersonFactory(), organisation=None)
    with pytest.raises(CannotBeCorrected, match="void"):
        correct(section, mix=Change("B", ""))
