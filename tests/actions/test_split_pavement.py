"""Splitting a pavement in two: areas add up, history stays, nothing is decided anew."""

from datetime import UTC, date, datetime

import pytest
from django.db.models import Sum
from shapely import Polygon

from registry import access
from registry.actions.judge_tests import judge_tests
from registry.actions.number_pavement import NumberTaken
from registry.actions.refresh_standing import refresh_standings
from registry.actions.sell_pavement import Deed, sell_pavement
from registry.actions.split_pavement import CannotSplit, Part, split_pavement
from registry.gathering.condition import condition_of
from registry.gathering.layouts import layout_of
from registry.models import Pavement, PavementNumber, PavementState, Seat
from registry.models.choices import Role
from tests.factories import (
    CriteriaFactory,
    InfiltrationTestFactory,
    MembershipFactory,
    OrganisationFactory,
    PanelFactory,
    PavementFactory,
    PlanFactory,
    SeatFactory,
    SectionFactory,
    SpotFactory,
    WorkOrderFactory,
)

pytestmark = pytest.mark.django_db
ON = date(2024, 6, 3)


@pytest.fixture
def whole():
    pavement = PavementFactory(area_m2=90.0)
    SeatFactory(pavement=pavement, role=Role.OWNER)
    PlanFactory(pavement=pavement, datum="north-west corner")
    CriteriaFactory(pavement=pavement)
    return pavement


@pytest.fixture
def panels(whole):
    """Three panels, 10, 20 and 30 m2."""
    widths = {"A1": 1.0, "A2": 2.0, "A3": 3.0}
    return {
        n: PanelFactory(pavement=whole, name=n, width_m=w, length_m=10) for n, w in widths.items()
    }


def split(whole, first, second, area_m2=None):
    parts = (
        Part("North lot", frozenset(p.pk for p in first), area_m2),
        Part("South lot", frozenset(p.pk for p in second)),
    )
    return split_pavement(
        pavement=whole, parts=parts, on=ON, why="plat 9", by=None, organisation=None
    )


def test_case_50_parts_share_the_area_by_panels_and_the_total_does_not_change(whole, panels):
    before = Pavement.objects.counted_once().aggregate(Sum("area_m2"))
    north, south = split(whole, [panels["A1"]], [panels["A2"], panels["A3"]])
    assert (north.area_m2, south.area_m2) == (pytest.approx(15.0), pytest.approx(75.0))
    after = Pavement.objects.counted_once().aggregate(Sum("area_m2"))
    assert after["area_m2__sum"] == pytest.approx(before["area_m2__sum"], rel=1e-12)


def test_panel_with_corners_counts_by_its_corners(whole):
    triangle = [[0, 0], [2, 0], [0, 2]]
    first = PanelFactory(pavement=whole, width_m=2, length_m=2, corners=triangle)
    second = PanelFactory(pavement=whole, width_m=2, length_m=2)
    north, south = split(whole, [first], [second])
    assert (north.area_m2, south.area_m2) == (pytest.approx(30.0), pytest.approx(60.0))


def test_without_panels_the_area_of_the_first_part_is_given(whole):
    north, south = split(whole, [], [], area_m2=40.0)
    assert (north.area_m2, south.area_m2) == (40.0, 50.0)


@pytest.mark.parametrize("area", [None, 0.0, 90.0, 91.0])
def test_area_that_leaves_nothing_for_a_part_is_refused(whole, area):
    with pytest.raises(CannotSplit, match="area of the first part"):
        split(whole, [], [], area_m2=area)


def test_area_not_known_stays_not_known(whole):
    Pavement.objects.update(area_m2=None)
    whole.refresh_from_db()
    assert [part.area_m2 for part in split(whole, [], [])] == [None, None]


def test_case_50_both_parts_point_to_the_whole_and_are_not_decided(whole, panels):
    InfiltrationTestFactory(pavement=whole, started_on=date(2024, 5, 1))
    for part in split(whole, [panels["A1"]], [panels["A2"], panels["A3"]]):
        assert part.parent == whole
        assert not part.criteria.exists()
        spot = SpotFactory(pavement=part)
        InfiltrationTestFactory(pavement=part, spot=spot, started_on=date(2024, 6, 10))
        said = condition_of(part, viewpoint="holder", today=date(2024, 6, 11))
        assert said.word.word == "not_decided"


def test_panels_fixed_points_sections_and_plan_go_on(whole, panels):
    section = SectionFactory(pavement=whole, opened_to_feet_on=date(2021, 5, 11))
    type(panels["A1"]).objects.filter(pk=panels["A1"].pk).update(section=section)
    SpotFactory(pavement=whole, panel=panels["A1"], name="P1")
    north, south = split(whole, [panels["A1"]], [panels["A2"], panels["A3"]])
    new = north.panels.get()
    assert (new.name, new.replaces, new.section.name) == ("A1", panels["A1"], section.name)
    assert new.section.opened_to_feet_on == date(2021, 5, 11)
    assert new.exists_from_on == ON
    assert [spot.name for spot in north.spots.all()] == ["P1"]
    assert north.plans.get().datum == "north-west corner"
    assert not south.spots.exists()
    assert not south.sections.exists()


def test_each_part_has_the_piece_of_the_outline_that_its_panels_lie_on(whole):
    whole.plans.update(outline=[[0, 0], [6, 0], [6, 10], [0, 10]])
    west, east = (
        PanelFactory(pavement=whole, name=n, right_m=x, width_m=w, length_m=10)
        for n, x, w in (("A1", 0, 2), ("B1", 2, 4))
    )
    parts = split(whole, [west], [east])
    areas = [Polygon(part.plans.get().outline).area for part in parts]
    assert areas == [pytest.approx(20, abs=0.15), pytest.approx(40, abs=0.15)]  # joints of 1 cm


def test_open_orders_are_done_or_dropped_first(whole, panels):
    order = WorkOrderFactory(pavement=whole)
    with pytest.raises(CannotSplit, match=f"Still open here: order {order.number}"):
        split(whole, [panels["A1"]], [panels["A2"], panels["A3"]])
    type(order).objects.update(state="dropped")
    assert len(split(whole, [panels["A1"]], [panels["A2"], panels["A3"]])) == 2


def test_seats_go_on_but_a_sections_only_with_its_section(whole, panels):
    section = SectionFactory(pavement=whole)
    type(panels["A1"]).objects.filter(pk=panels["A1"].pk).update(section=section)
    SeatFactory(pavement=whole, role=Role.CONTRACTOR, section=section)
    north, south = split(whole, [panels["A1"]], [panels["A2"], panels["A3"]])
    roles = [set(part.seats.values_list("role", flat=True)) for part in (north, south)]
    assert roles == [{"owner", "contractor"}, {"owner"}]
    assert north.seats.get(role=Role.CONTRACTOR).section.pavement == north


def test_a_seat_with_an_end_ahead_goes_on_to_it_and_one_that_ended_does_not(whole, panels):
    ends = datetime(2031, 1, 1, tzinfo=UTC)
    SeatFactory(pavement=whole, role=Role.MANAGER, to_at=ends)
    SeatFactory(pavement=whole, role=Role.TESTER, to_at=datetime(2024, 6, 1, tzinfo=UTC))
    for part in split(whole, [panels["A1"]], [panels["A2"], panels["A3"]]):
        assert dict(part.seats.values_list("role", "to_at")) == {"owner": None, "manager": ends}


def test_the_line_along_which_places_are_told_goes_on_with_what_is_known_of_the_datum(whole):
    line, lost = [[0, 0], [0, 30], [5, 60]], date(2024, 1, 2)
    whole.plans.update(kind="stations", baseline=line, width_m=2.5, datum_lost_on=lost)
    for part in split(whole, [], [], area_m2=40.0):
        plan = part.plans.get()
        assert (plan.baseline, plan.datum_lost_on) == (line, lost)
        assert layout_of(part).baseline.width_m == 2.5


def test_parts_get_the_numbers_of_who_splits_and_the_whole_keeps_its_own(whole, panels):
    org = OrganisationFactory()
    PavementNumber.objects.create(pavement=whole, organisation=org, number="10")
    parts = (
        Part("N", frozenset({panels["A1"].pk}), own_number="10A"),
        Part("S", frozenset({panels["A2"].pk, panels["A3"].pk})),
    )
    split_pavement(pavement=whole, parts=parts, on=ON, why="plat", by=None, organisation=org)
    found = PavementNumber.objects.order_by("pk").values_list("number", "pavement__name", "from_on")
    assert list(found) == [("10", whole.name, None), ("10A", "N", ON)]


def test_a_number_that_is_used_already_lets_nothing_be_split(whole, panels):
    org = OrganisationFactory()
    PavementNumber.objects.create(pavement=whole, organisation=org, number="10")
    a1, *others = (panel.pk for panel in panels.values())
    parts = (Part("N", frozenset({a1}), own_number="10"), Part("S", frozenset(others)))
    with pytest.raises(NumberTaken, match="uses 10 already"):
        split_pavement(pavement=whole, parts=parts, on=ON, why="plat", by=None, organisation=org)
    assert Pavement.objects.get().state != PavementState.SPLIT


def test_panel_on_both_sides_or_on_none_is_refused(whole, panels):
    a1, a2, a3 = panels.values()
    with pytest.raises(CannotSplit, match="A2 lies in both"):
        split(whole, [a1, a2], [a2, a3])
    with pytest.raises(CannotSplit, match="A3 is in neither"):
        split(whole, [a1], [a2])
    with pytest.raises(CannotSplit, match="at least one panel"):
        split(whole, [a1, a2, a3], [])
    assert Pavement.objects.count() == 1


def test_split_pavement_is_not_split_again_nor_written(whole, panels):
    a1, a2, a3 = panels.values()
    person = MembershipFactory(organisation=Seat.objects.get().organisation).person
    split(whole, [a1], [a2, a3])
    whole.refresh_from_db()
    assert whole.state == PavementState.SPLIT
    with pytest.raises(CannotSplit, match="split into parts"):
        split(whole, [a1], [a2, a3])
    rights = access.rights_at(person, whole)
    assert rights.may("read")
    assert not rights.may("record_test")
    assert not rights.appoints


def test_buyer_of_a_part_reads_the_history_of_the_whole(whole, panels):
    a1, a2, a3 = panels.values()
    row = InfiltrationTestFactory(pavement=whole)
    north, south = split(whole, [a1], [a2, a3])
    buyer = MembershipFactory(organisation=OrganisationFactory())
    at = datetime(2024, 7, 1, tzinfo=UTC)
    deed = Deed(buyer.organisation, at, "deed 1")
    sell_pavement(pavement=north, deed=deed, decisions={}, by=None, organisation=None)
    assert access.get_test(buyer.person, row.pk) == row
    assert set(access.visible_pavements(buyer.person)) == {north, whole}
    assert not access.visible_pavements(buyer.person).filter(pk=south.pk).exists()


def test_split_is_not_entered_ahead(whole, panels):
    a1, a2, a3 = panels.values()
    parts = (Part("N", frozenset({a1.pk})), Part("S", frozenset({a2.pk, a3.pk})))
    with pytest.raises(CannotSplit, match="on its day or after"):
        split_pavement(
            pavement=whole, parts=parts, on=date(2999, 1, 1), why="", by=None, organisation=None
        )


def standing_of(part):
    return part.standings.get(viewpoint="holder")


def test_next_test_of_a_part_counts_what_the_whole_was_tested(whole, panels):
    a1, a2, a3 = panels.values()
    Pavement.objects.filter(pk=whole.pk).update(placed_on=date(2021, 5, 4))
    InfiltrationTestFactory(
        pavement=whole,
        spot=SpotFactory(pavement=whole, panel=a1, name="U"),
        started_on=date(2024, 5, 20),
        rain_within_24_h="no",
    )
    judge_tests([whole.pk])
    for part in split(whole, [a1], [a2, a3]):
        assert standing_of(part).next_test_due_on == date(2025, 5, 20)
        assert "last test of the whole" in standing_of(part).next_test_why
        assert standing_of(part).last_tested_on is None, "nobody tested the part itself"


def test_part_of_a_whole_that_nobody_tested_is_not_overdue_from_before_the_split(whole, panels):
    a1, a2, a3 = panels.values()
    Pavement.objects.filter(pk=whole.pk).update(placed_on=date(2021, 5, 4))
    for part in split(whole, [a1], [a2, a3]):
        assert standing_of(part).next_test_due_on == ON
        assert "nor" in standing_of(part).next_test_why


def test_test_found_late_for_the_whole_moves_the_next_test_of_its_parts(whole, panels):
    a1, a2, a3 = panels.values()
    north, _ = split(whole, [a1], [a2, a3])
    InfiltrationTestFactory(pavement=whole, started_on=date(2024, 5, 20), rain_within_24_h="no")
    judge_tests([whole.pk])
    refresh_standings([whole.pk])
    assert standing_of(north).next_test_due_on == date(2025, 5, 20)
