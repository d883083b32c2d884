"""A dispute freezes what lies under it: new lines are taken, corrections and voids refused."""

import pytest

from registry.actions.add_entry import add_entry
from registry.actions.correct_entry import CannotBeCorrected, correct_entry
from registry.actions.void_entry import CannotBeVoided, void_entry
from registry.gathering.frozen import frozen_under
from registry.models import RaveledShare
from registry.models.entry import Change
from tests import factories as record
from tests import placing_factories as made

pytestmark = pytest.mark.django_db
NOBODY = {"by": None, "organisation": None}


@pytest.fixture
def callback(db):
    return made.CallbackFactory(state="disputed")


def under(callback):
    """One row of each kind that a dispute freezes."""
    pavement = callback.pavement
    day = made.PlacingDayFactory(pavement=pavement)
    load = made.LoadFactory(placing_day=day)
    callback.warranty = made.WarrantyFactory(pavement=pavement, contractor=callback.contractor)
    callback.save(update_fields=["warranty"])
    test = record.InfiltrationTestFactory(pavement=pavement)
    made.CallbackAttachmentFactory(callback=callback, winter_entry=None, infiltration_test=test)
    acceptance = record.InfiltrationTestFactory(pavement=pavement, reason="acceptance")
    return {
        "callback": callback,
        "note": made.CallbackNoteFactory(callback=callback),
        "finding": made.PanelFindingFactory(callback=callback),
        "warranty": callback.warranty,
        "limit": made.AnswerLimitFactory(warranty=callback.warranty),
        "day": day,
        "load": load,
        "spread": made.SpreadFactory(load=load),
        "cover": made.CoverFactory(placing_day=day),
        "share": made.RaveledShareFactory(pavement=pavement),
        "core": made.CoreFactory(pavement=pavement),
        "winter": made.WinterEntryFactory(pavement=pavement),
        "attached test": test,
        "acceptance test": acceptance,
    }


def test_all_that_lies_under_a_dispute_is_frozen(callback):
    rows = under(callback)
    assert {name for name, row in rows.items() if frozen_under(row) == callback} == set(rows)


@pytest.mark.parametrize("state", ["received", "accepted", "settled", "closed"])
def test_nothing_is_frozen_before_a_dispute_or_after_it(callback, state):
    rows = under(callback)
    type(callback).objects.update(state=state)
    assert [name for name, row in rows.items() if frozen_under(row)] == []


def test_other_records_of_the_pavement_stay_free(callback):
    test = record.InfiltrationTestFactory(pavement=callback.pavement)
    elsewhere = made.LoadFactory()
    assert frozen_under(test) is None
    assert frozen_under(elsewhere) is None


def test_correction_and_void_are_refused_and_a_new_line_is_taken(callback):
    share = made.RaveledShareFactory(pavement=callback.pavement)
    with pytest.raises(CannotBeCorrected, match="in dispute"):
        correct_entry(share, changes={"share": Change(0.2, "20 %")}, why="misread", **NOBODY)
    with pytest.raises(CannotBeVoided, match="Add a new line"):
        void_entry(share, why="misread", **NOBODY)
    share.refresh_from_db()
    assert share.share == 0.1 and not share.is_void
    given = {"panel": "A1", "looked_on": share.looked_on, "graded_by": "eye"}
    line = RaveledShare(pavement=callback.pavement, share=0.2, **given)
    add_entry(line, **NOBODY)
    assert RaveledShare.objects.count() == 2


def test_settled_dispute_is_corrected_again(callback):
    share = made.RaveledShareFactory(pavement=callback.pavement)
    type(callback).objects.update(state="settled")
    correct_entry(share, changes={"share": Change(0.2, "20 %")}, why="misread", **NOBODY)
    share.refresh_from_db()
    assert share.share == 0.2
