from datetime import date, timedelta

import pytest
from django.utils import timezone

from registry.actions.answer_defect import CannotAnswer, answer_defect
from registry.actions.close_visit import CannotClose, close_visit
from registry.actions.move_defect import move_defect
from registry.actions.open_visit import CannotOpenVisit
from registry.actions.refuse_days_ahead import DayAhead
from registry.actions.void_visit import void_visit
from registry.actions.walk_panels import CannotWalkPanels, walk_panels
from registry.gathering.known_defects import known_on
from registry.gathering.visit_panels import panels_on
from registry.models import JournalLine, VisitState, WalkedPanel
from tests.sheets.rows_of_lot import lot_of
from tests.visit_rows import DAY, answer, defect_at, seen_of, visit_at

pytestmark = pytest.mark.django_db
NOBODY = {"by": None, "organisation": None}


@pytest.fixture
def lot():
    return lot_of(2, 2)


def close(visit, signed_by="M. Ferrand", **given):
    panels = panels_on(visit.pavement, visit.done_on)
    seen = seen_of(visit.pavement)
    return close_visit(visit, signed_by=signed_by, seen=seen, panels=panels, **given, **NOBODY)


def walk_all(visit):
    walk_panels(visit, walked=panels_on(visit.pavement, DAY), unseen={}, **NOBODY)


def test_visit_is_not_closed_while_a_known_defect_has_no_answer_and_says_which(lot):
    defect_at(lot, "A1 R 5.0 U 7.5")
    second = defect_at(lot, "B2 whole", "crack")
    visit = visit_at(lot)
    walk_all(visit)
    answer_defect(answer(visit, second), seen=None, **NOBODY)
    with pytest.raises(CannotClose, match=r"1 known defect has no answer yet: no\. 1 raveling, ar"):
        close(visit)
    visit.refresh_from_db()
    assert visit.is_open


def test_visit_is_not_closed_while_a_panel_is_told_of_nowhere(lot):
    visit = visit_at(lot)
    panels = panels_on(lot, DAY)
    walk_panels(visit, walked=panels[:2], unseen={panels[2]: "cars"}, **NOBODY)
    with pytest.raises(CannotClose, match="Nothing is said of panel B2"):
        close(visit)


def test_every_panel_and_defect_told_of_closes_it_as_done(lot):
    defect = defect_at(lot, "A1 R 5.0 U 7.5")
    visit = visit_at(lot)
    walk_all(visit)
    answer_defect(answer(visit, defect), seen=None, **NOBODY)
    closed = close(visit, next_due_on=date(2024, 11, 1))
    assert (closed.state, closed.walked_all, closed.next_due_on) == (
        VisitState.DONE,
        True,
        date(2024, 11, 1),
    )


@pytest.mark.parametrize("found", ["panel", "defect"])
def test_what_was_not_seen_makes_it_done_in_part(lot, found):
    defect = defect_at(lot, "A1 R 5.0 U 7.5")
    visit = visit_at(lot)
    walk_all(visit)
    not_looked = {"found": "could_not_look", "why_not": "a car"} if found == "defect" else {}
    answer_defect(answer(visit, defect, **not_looked), seen=None, **NOBODY)
    if found == "panel":
        walk_panels(visit, walked=(), unseen={panels_on(lot, DAY)[0]: "cars"}, **NOBODY)
    assert close(visit).state == VisitState.IN_PART


def test_could_not_enter_needs_no_answers_but_nothing_may_have_been_seen(lot):
    defect = defect_at(lot, "A1 R 5.0 U 7.5")
    shut = visit_at(lot)
    assert close(shut, why_not_entered="gate locked").state == VisitState.NOT_ENTERED
    seen = visit_at(lot)
    answer_defect(answer(seen, defect), seen=None, **NOBODY)
    with pytest.raises(CannotClose, match="Something was seen"):
        close(seen, why_not_entered="gate locked")


def test_nobody_signed(lot):
    with pytest.raises(CannotClose, match="who signs"):
        close(visit_at(lot), signed_by=" ")


def test_without_panels_the_remark_tells_what_was_not_seen():
    pavement = lot_of(0, 0)
    visit = visit_at(pavement)
    with pytest.raises(CannotClose, match="whole pavement was walked"):
        close(visit)
    visit.walked_all = True
    visit.save(update_fields=["walked_all"])
    assert close(visit).state == VisitState.DONE


def test_one_side_has_one_visit_under_way(lot):
    visit_at(lot)
    with pytest.raises(CannotOpenVisit, match="a visit of 2024-04-18 under way"):
        visit_at(lot)


def test_a_visit_does_not_lie_ahead(lot):
    with pytest.raises(DayAhead, match="lies ahead"):
        visit_at(lot, done_on=timezone.now().date() + timedelta(days=2))


def test_second_answer_sees_the_first_before_it_takes_its_place(lot):
    defect = defect_at(lot, "A1 R 5.0 U 7.5")
    visit = visit_at(lot)
    first = answer_defect(answer(visit, defect, area_m2=1.0), seen=None, **NOBODY)
    with pytest.raises(CannotAnswer, match="answered meanwhile"):
        answer_defect(answer(visit, defect, area_m2=2.0), seen=None, **NOBODY)
    second = answer_defect(answer(visit, defect, area_m2=2.0), seen=first.pk, **NOBODY)
    first.refresh_from_db()
    assert first.is_void and not second.is_void
    assert JournalLine.objects.about(first).filter(verb="void").count() == 1


def test_the_same_answer_sent_twice_is_one(lot):
    defect = defect_at(lot, "A1 R 5.0 U 7.5")
    visit = visit_at(lot)
    first = answer_defect(answer(visit, defect, area_m2=1.0), seen=None, **NOBODY)
    assert answer_defect(answer(visit, defect, area_m2=1.0), seen=None, **NOBODY) == first


def test_a_changed_answer_takes_back_the_move_of_the_old(lot):
    defect = defect_at(lot, "A1 R 5.0 U 7.5")
    visit = visit_at(lot)
    missed = answer(visit, defect, "not_found", good_light="yes")
    old = answer_defect(missed, seen=None, **NOBODY)
    defect.refresh_from_db()
    assert defect.state == "not_found_once"
    could_not = answer(visit, defect, "could_not_look", why_not="a car")
    answer_defect(could_not, seen=old.pk, **NOBODY)
    defect.refresh_from_db()
    assert defect.state == "noted"
    assert defect.moves.last().is_back


def test_a_defect_closed_since_is_asked_of_a_visit_before_that_day(lot):
    defect = defect_at(lot, "A1 R 5.0 U 7.5")
    move_defect(defect, to_state="no_action", on=date(2024, 6, 1), **NOBODY)
    assert [k.defect for k in known_on(seen_of(lot), DAY)] == [defect]
    assert known_on(seen_of(lot), date(2024, 6, 2)) == []
    assert known_on(seen_of(lot), date(2023, 1, 1)) == []


def test_a_closed_visit_takes_no_answer(lot):
    defect = defect_at(lot, "A1 R 5.0 U 7.5")
    visit = visit_at(lot)
    walk_all(visit)
    answer_defect(answer(visit, defect), seen=None, **NOBODY)
    close(visit)
    with pytest.raises(CannotAnswer, match="put right by a correction"):
        answer_defect(answer(visit, defect, area_m2=3.0), seen=None, **NOBODY)


def test_a_void_visit_takes_its_answers_and_their_moves_with_it(lot):
    defect = defect_at(lot, "A1 R 5.0 U 7.5")
    visit = visit_at(lot)
    look = answer(visit, defect, "not_found", good_light="yes")
    answer_defect(look, seen=None, **NOBODY)
    assert void_visit(visit, why="other lot", **NOBODY) == []
    look.refresh_from_db()
    defect.refresh_from_db()
    assert look.void_why == "other lot" and defect.state == "noted"


def test_panels_not_seen_say_why_and_are_not_walked_too(lot):
    visit, panels = visit_at(lot), panels_on(lot, DAY)
    with pytest.raises(CannotWalkPanels, match="Say why these panels were not seen: A1"):
        walk_panels(visit, walked=(), unseen={panels[0]: " "}, **NOBODY)
    with pytest.raises(CannotWalkPanels, match="Both walked and not seen: A1"):
        walk_panels(visit, walked=panels, unseen={panels[0]: "cars"}, **NOBODY)
    walk_panels(visit, walked=(), unseen={panels[0]: "cars"}, **NOBODY)
    walk_panels(visit, walked=[panels[0]], unseen={}, **NOBODY)
    assert WalkedPanel.objects.get(visit=visit, panel=panels[0]).is_unseen is False
    last = JournalLine.objects.about(visit).filter(verb="walked").first()
    assert last.changes["panels"] == ["not seen, cars: A1", "walked: A1"]
