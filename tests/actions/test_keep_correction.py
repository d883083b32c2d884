"""Two corrections made apart are both kept; a named person chooses; nothing is merged."""

import pytest

from registry.actions.correct_entry import CorrectionsDiffer, correct_entry
from registry.actions.keep_correction import CannotChoose, choose_correction, keep_correction
from registry.models import JournalLine, WaitingCorrection
from registry.models.entry import Change
from registry.models.seen import Changes, snapshot
from tests.factories import OrganisationFactory, PersonFactory, SectionFactory


@pytest.fixture
def apart(db):
    """A section whose mix two people correct from the same page: A to B, and A to C."""
    row = SectionFactory(mix="A", name="north")
    side = OrganisationFactory()
    seen = snapshot(row, ["mix", "name"])
    first, second = PersonFactory(name="First"), PersonFactory(name="Second")

    def correct(by, **values):
        changes = Changes({n: Change(v, v) for n, v in values.items()}, seen=seen)
        return correct_entry(row, changes=changes, why="read again", by=by, organisation=side)

    return row, side, first, second, correct


def keep_second(apart, **values):
    *_, first, second, correct = apart
    correct(first, mix="B")
    with pytest.raises(CorrectionsDiffer) as fault:
        correct(second, **values)
    return keep_correction(fault.value)


def test_case_55_both_corrections_are_kept_and_the_first_stands(apart):
    row = apart[0]
    waiting = keep_second(apart, mix="C")
    row.refresh_from_db()
    assert row.mix == "B"
    assert waiting.lines == {"mix": ["B", "C"]}
    verbs = list(JournalLine.objects.about(row).order_by("pk").values_list("verb", "by__name"))
    assert verbs == [("corrected", "First"), ("second correction kept", "Second")]


def test_case_55_corrections_of_different_fields_are_not_merged_either(apart):
    row = apart[0]
    keep_second(apart, name="south")
    row.refresh_from_db()
    assert (row.mix, row.name) == ("B", "north")


def test_case_55_a_named_person_takes_the_second(apart):
    row, side, *_ = apart
    waiting = keep_second(apart, mix="C")
    chooser = PersonFactory(name="Chooser")
    choose_correction(waiting, choice="waiting", why="slip", by=chooser, organisation=side)
    row.refresh_from_db()
    assert row.mix == "C"
    line = JournalLine.objects.about(row).corrections().latest("pk")
    assert (line.by.name, line.changes) == ("Chooser", {"mix": ["B", "C"]})


def test_case_55_a_named_person_leaves_what_stands(apart):
    row, side, *_ = apart
    waiting = keep_second(apart, mix="C")
    choose_correction(waiting, choice="standing", why="slip", by=PersonFactory(), organisation=side)
    row.refresh_from_db()
    waiting.refresh_from_db()
    assert (row.mix, waiting.choice) == ("B", "standing")
    assert not WaitingCorrection.objects.undecided().exists()


def test_second_choice_between_the_same_two_is_refused(apart):
    side = apart[1]
    waiting = keep_second(apart, mix="C")
    given = {"why": "slip", "by": PersonFactory(), "organisation": side}
    choose_correction(waiting, choice="standing", **given)
    with pytest.raises(CannotChoose):
        choose_correction(waiting, choice="waiting", **given)


def test_same_correction_sent_twice_waits_once(apart):
    waiting = keep_second(apart, mix="C")
    *_, second, correct = apart
    with pytest.raises(CorrectionsDiffer) as fault:
        correct(second, mix="C")
    assert keep_correction(fault.value) == waiting
    assert WaitingCorrection.objects.count() == 1
