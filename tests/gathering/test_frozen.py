"""A dispute freezes what lies under it: new lines are taken, corrections and voids refused."""

import pytest

from registry.actions.add_entry import add_entry
from registry.actions.answer_doubt import (
    CannotBeAnswered,
    answer_doubt,
    keep_out,
    let_rule_decide,
)
from registry.actions.correct_entry import CannotBeCorrected, correct_entry
from registry.actions.link_defects import CannotLink, link_defects
from registry.actions.mark_photo import mark_photo
from registry.actions.pair_photos import CannotBePaired, pair_photos
from registry.actions.void_entry import CannotBeVoided, void_entry
from registry.gathering.frozen import frozen_under
from registry.models import Edge, Joint, PhotoMarks, RaveledShare
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


def attached(callback, **thing):
    given = {"winter_entry": None, **thing}
    return made.CallbackAttachmentFactory(callback=callback, **given)


def test_the_plan_and_the_holidays_that_figures_rest_on_are_frozen_too(callback):
    rows = under(callback)
    panel = record.PanelFactory(pavement=callback.pavement)
    holidays = made.HolidayListFactory(organisation=callback.contractor)
    type(rows["warranty"]).objects.update(holiday_list=holidays)
    joint = Joint(pavement=callback.pavement)
    for row in (panel, Edge(panel=panel), joint, holidays):
        assert frozen_under(row) == callback
    others = made.HolidayListFactory(organisation=callback.contractor, name="another contract")
    assert frozen_under(others) is None
    with pytest.raises(CannotBeCorrected, match="in dispute"):
        correct_entry(holidays, changes={"days": Change([], "")}, why="none", **NOBODY)


def test_parts_of_what_is_attached_are_frozen_with_it(callback):
    visit = record.VisitFactory(pavement=callback.pavement)
    defect = record.DefectFactory(pavement=callback.pavement)
    look = record.ObservationFactory(defect=defect, visit=visit)
    photo = record.PhotoFactory(pavement=callback.pavement, defect=defect)
    marks = PhotoMarks(photo=photo)
    assert not any(frozen_under(row) for row in (look, photo, marks))
    attached(callback, visit=visit)
    assert frozen_under(look) == callback
    assert frozen_under(photo) is None
    attached(callback, defect=defect)
    assert frozen_under(photo) == frozen_under(marks) == callback


def test_no_answer_and_no_decision_changes_the_use_of_a_frozen_test(callback):
    test = record.InfiltrationTestFactory(pavement=callback.pavement, reason="acceptance")
    doubts = [{"code": "above_as_built"}, {"code": "wet"}]
    type(test).objects.filter(pk=test.pk).update(doubts=doubts)
    author = {"by": record.PersonFactory(), "organisation": callback.contractor}
    for decide in (keep_out, let_rule_decide):
        with pytest.raises(CannotBeAnswered, match="in dispute"):
            decide(test, why="a leaking ring", **author)
    given = {"code": "above_as_built", "text": "measured twice"}
    with pytest.raises(CannotBeAnswered, match="in dispute"):
        answer_doubt(test, lifts=True, **given, **author)
    answered = answer_doubt(test, lifts=False, **given, **author)
    assert answered.answers["above_as_built"]["text"] == "measured twice"
    type(test).objects.filter(pk=test.pk).update(doubts=doubts)
    with pytest.raises(CannotBeAnswered, match="in dispute"):
        answer_doubt(test, lifts=False, **{**given, "text": "otherwise"}, **author)


def test_an_attached_defect_is_made_no_double_and_an_attached_photo_keeps_pair_and_marks(callback):
    own, other = (record.DefectFactory(pavement=callback.pavement) for _ in range(2))
    attached(callback, defect=own)
    given = {"on": own.first_seen_on, **NOBODY}
    with pytest.raises(CannotLink, match="in dispute"):
        link_defects(own, relation="same_as", other=other, **given)
    assert link_defects(own, relation="recurs", other=other, **given).pk
    now, then = (record.PhotoFactory(pavement=callback.pavement) for _ in range(2))
    attached(callback, photo=now)
    pair_photos(now, then=then, **NOBODY)
    with pytest.raises(CannotBePaired, match="in dispute"):
        pair_photos(now, then=None, **NOBODY)
    arrow = [{"kind": "arrow", "points": [[0.1, 0.1], [0.2, 0.2]]}]
    mark_photo(now, arrow, **NOBODY)
    with pytest.raises(CannotBeVoided, match="in dispute"):
        mark_photo(now, [], **NOBODY)
