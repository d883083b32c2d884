"""What is noted on a pavement goes on at its parts when it is split, and stays readable before."""

from datetime import UTC, date, datetime

import pytest

from registry.access.carried_defects import visible_after_split, visible_before_split
from registry.access.defects import visible_defects, visible_observations
from registry.actions.carry_on_defects import BOTH
from registry.actions.move_defect import move_defect
from registry.actions.note_defect import note_defect
from registry.actions.record_observation import record_observation
from registry.actions.split_pavement import CannotSplit, Part, split_pavement
from registry.gathering.defect_place import put_in_place
from registry.gathering.known_defects import Seen, known_on
from registry.models import Defect, DefectMove, JournalLine, Observation, Pavement
from registry.models.choices import Role
from registry.units import System
from tests.actions.plans import NOBODY, drawn_lot, panel_of
from tests.factories import (
    MembershipFactory,
    OrganisationFactory,
    PhotoFactory,
    SeatFactory,
    VisitFactory,
)

pytestmark = pytest.mark.django_db
SEEN, ON, LATER = date(2024, 4, 18), date(2024, 6, 3), date(2024, 9, 2)


@pytest.fixture
def lot() -> Pavement:
    """Panels A1, A2, B1 and B2 of 3 m by 4 m; it is cut between A and B."""
    return drawn_lot(area_m2=48.0)


def noted(lot: Pavement, place: str = "", side=None, kind: str = "raveling", **look) -> Defect:
    row = Defect(pavement=lot, kind=kind, place=place, first_seen_on=SEEN)
    if place:
        put_in_place(row, system=System.SI, on=SEEN)
    first = Observation(seen_on=SEEN, **({"area_m2": 0.5, "method": "tape"} | look))
    return note_defect(row, first_look=first, by=None, organisation=side)


def split(lot: Pavement, defects=None, side=None) -> tuple[Pavement, Pavement]:
    lanes = [frozenset(panel_of(lot, f"{lane}{n}").pk for n in (1, 2)) for lane in "AB"]
    parts = (Part("A side", lanes[0]), Part("B side", lanes[1]))
    made = split_pavement(
        pavement=lot, parts=parts, on=ON, why="plat 9", by=None, organisation=side, defects=defects
    )
    return made[0], made[1]


def test_open_defect_goes_on_at_the_part_of_its_panel(lot):
    old = noted(lot, "B2 · 1.00 R · 2.00 U")
    first, second = split(lot)
    assert not first.defects.exists()
    [new] = second.defects.all()
    assert (new.carried_from, new.carried_on, new.number) == (old, ON, 1)
    assert (new.kind, new.state, new.place) == (old.kind, "noted", old.place)
    assert (new.panel.pavement, new.panel.name) == (second, "B2")
    assert (new.outline, new.first_seen_on) == (old.outline, SEEN)


def test_old_row_is_closed_by_a_dated_line_and_keeps_what_was_seen(lot):
    old = noted(lot, "A1 · 1.00 R · 2.00 U")
    photo = PhotoFactory(pavement=lot, defect=old)
    visit = VisitFactory(pavement=lot, state="done")
    split(lot)
    old.refresh_from_db(), photo.refresh_from_db(), visit.refresh_from_db()
    assert (old.state, old.is_open) == ("carried_on", False)
    last = old.moves.last()
    assert (last.on, last.why) == (ON, "carried on as defect 1 of a part")
    assert old.observations.count() == 1
    assert (photo.defect, photo.pavement, visit.pavement) == (old, lot, lot)
    assert JournalLine.objects.about(old).filter(verb="carried on").exists()


def test_closed_defects_stay_with_the_whole(lot):
    old = noted(lot, "A1 · 1.00 R · 2.00 U")
    move_defect(old, to_state="no_action", on=SEEN, **NOBODY)
    split(lot)
    old.refresh_from_db()
    assert old.state == "no_action"
    assert Defect.objects.count() == 1


@pytest.mark.parametrize("place", ["", "A1|B1 · 1.00-3.00 U"], ids=["nowhere", "on the cut"])
def test_what_lies_on_both_parts_or_nowhere_is_asked_about(lot, place):
    old = noted(lot, place)
    with pytest.raises(CannotSplit, match="with which part"):
        split(lot)
    assert not Pavement.objects.exclude(pk=lot.pk).exists()
    _, second = split(lot, defects={old.pk: 1})
    assert [row.pavement for row in Defect.objects.filter(carried_from=old)] == [second]


def test_at_both_parts_its_extent_is_to_be_measured_anew_and_its_lip_stays(lot):
    """Case 45: extents are not counted twice. A lip goes on, since somebody may trip over it."""
    old = noted(
        lot, "A1|B1 · 1.00-3.00 U", kind="edge_raveling", area_m2=None, length_m=2.0, lip_m=0.008
    )
    split(lot, defects={old.pk: BOTH})
    looks = Observation.objects.filter(defect__carried_from=old)
    assert [(look.length_m, look.lip_m) for look in looks] == [(None, 0.008)] * 2
    assert all(look.empties["length_m"] == "nm" for look in looks)
    old.refresh_from_db()
    assert old.moves.last().why == "carried on as defect 1 of a part and as defect 1 of a part"


def test_next_visit_of_the_part_asks_for_it_with_what_was_seen_last(lot):
    noted(lot, "A1 · 1.00 R · 2.00 U")
    first, _ = split(lot)
    seen = Seen(first.defects.all(), Observation.objects.filter(defect__pavement=first))
    [known] = known_on(seen, LATER)
    assert (known.last.area_m2, known.last.seen_on) == (0.5, SEEN)
    assert known_on(seen, date(2024, 5, 1)) == [], "there was no such part before the split"


def test_second_miss_after_the_split_closes_it_and_a_find_takes_it_back(lot):
    """Case 44 over a split: the first miss counts, and the state before it is known."""
    for place in ("A1 · 1.00 R · 2.00 U", "A2 · 1.00 R · 2.00 U"):
        old = noted(lot, place)
        missed = Observation(
            defect=old, seen_on=date(2024, 5, 2), found="not_found", good_light="yes"
        )
        record_observation(missed, **NOBODY)
    first, _ = split(lot)
    gone, back = first.defects.order_by("number")
    assert (gone.state, back.state) == ("not_found_once", "not_found_once")
    again = Observation(defect=gone, seen_on=LATER, found="not_found", good_light="yes")
    record_observation(again, **NOBODY)
    record_observation(Observation(defect=back, seen_on=LATER, area_m2=1.0), **NOBODY)
    gone.refresh_from_db(), back.refresh_from_db()
    assert (gone.state, back.state) == ("not_found_closed", "noted")


def test_each_side_sees_at_the_part_what_it_saw_at_the_whole(lot):
    """3.12: a municipality what was submitted and its own; a tester nothing of the keepers'."""
    keeper, town, tester = (MembershipFactory(organisation=OrganisationFactory()) for _ in range(3))
    for member, role in (
        (keeper, Role.MANAGER), (town, Role.MUNICIPALITY), (tester, Role.TESTER),
    ):  # fmt: skip
        SeatFactory(pavement=lot, organisation=member.organisation, role=role)
    inside = noted(lot, "A1 · 1.00 R · 2.00 U", keeper.organisation)
    sent = noted(lot, "A2 · 1.00 R · 2.00 U", keeper.organisation)
    Defect.objects.filter(pk=sent.pk).update(submitted_on=SEEN)
    Observation.objects.filter(defect=sent).update(submitted_on=SEEN)
    later = Observation(defect=sent, seen_on=date(2024, 5, 2), area_m2=0.9)
    record_observation(later, by=None, organisation=keeper.organisation)
    first, _ = split(lot)

    def told(member):
        rows = visible_defects(member.person, first)
        looks = visible_observations(member.person, first).in_order()
        before = [len(visible_before_split(member.person, row)) for row in rows]
        return [row.carried_from for row in rows], [look.area_m2 for look in looks], before

    assert told(keeper) == ([inside, sent], [0.5, 0.5, 0.9], [1, 1])
    assert told(town) == ([sent], [0.5], [1]), "the later look was not sent to it"
    assert told(tester) == ([], [], [])
    sent.refresh_from_db()
    assert [row.pavement for row in visible_after_split(town.person, sent)] == [first]
    assert set(visible_defects(keeper.person, lot)) == {inside, sent}


def test_who_sees_a_part_alone_is_not_led_to_the_whole(lot):
    noted(lot, "A1 · 1.00 R · 2.00 U")
    first, _ = split(lot)
    stranger = MembershipFactory(organisation=OrganisationFactory())
    SeatFactory(pavement=first, organisation=stranger.organisation, role=Role.EVALUATOR)
    [row] = visible_defects(stranger.person, first)
    assert visible_before_split(stranger.person, row) == []


def test_former_owner_reads_no_more_of_the_part_than_came_in_during_its_time(lot):
    former = MembershipFactory(organisation=OrganisationFactory())
    end = datetime(2024, 8, 1, tzinfo=UTC)
    SeatFactory(pavement=lot, organisation=former.organisation, role=Role.OWNER)
    old = noted(lot, "A1 · 1.00 R · 2.00 U")
    Defect.objects.filter(pk=old.pk).update(entered_at=datetime(2024, 9, 1, tzinfo=UTC))
    first, _ = split(lot)
    first.seats.update(to_at=end)
    assert not visible_defects(former.person, first).exists(), "it came in after that time"


def test_visit_of_ones_own_side_is_closed_before_the_split(lot):
    side = OrganisationFactory()
    VisitFactory(pavement=lot, state="planned", entered_for=side)
    with pytest.raises(CannotSplit, match="2024-04-18 is under way"):
        split(lot, side=side)


def test_moves_are_repeated_so_that_a_way_back_stays_open(lot):
    old = noted(lot, "A1 · 1.00 R · 2.00 U")
    for state in ("confirmed", "watching"):
        move_defect(old, to_state=state, on=SEEN, why="walked", **NOBODY)
    first, _ = split(lot)
    [new] = first.defects.all()
    told = [(move.to_state, move.why) for move in new.moves.all()]
    assert told == [
        ("noted", ""),
        ("confirmed", "walked"),
        ("watching", "walked"),
    ]
    move_defect(new, to_state="confirmed", is_back=True, why="too early", on=LATER, **NOBODY)
    assert DefectMove.objects.filter(defect=old).last().to_state == "carried_on"


def test_part_of_a_part_is_followed_back_to_the_first_row(lot):
    keeper = MembershipFactory(organisation=OrganisationFactory())
    SeatFactory(pavement=lot, organisation=keeper.organisation, role=Role.OWNER)
    old = noted(lot, "A1 · 1.00 R · 2.00 U")
    first, _ = split(lot)
    [one], [two] = ([panel_of(first, name).pk] for name in ("A1", "A2"))
    parts = (Part("one", frozenset({one})), Part("two", frozenset({two})))
    split_pavement(pavement=first, parts=parts, on=ON, why="plat 10", **NOBODY)
    newest = Defect.objects.get(pavement__name="one")
    found = visible_before_split(keeper.person, newest)
    assert [row.pk for row in found] == [newest.carried_from_id, old.pk]


def test_moves_that_a_file_made_stay_when_that_file_is_taken_back(lot):
    """The file is not taken back any more, for the split came after; no move is made by it now."""
    old = noted(lot, "A1 · 1.00 R · 2.00 U")
    move_defect(old, to_state="confirmed", on=SEEN, why="spreadsheet no. 7, row 3", **NOBODY)
    move_defect(old, to_state="watching", on=SEEN, why="spreadsheet no. 7, row 4: wet", **NOBODY)
    first, _ = split(lot)
    told = [move.why for move in first.defects.get().moves.all()]
    assert told == ["", "a file told it so", "wet"]
