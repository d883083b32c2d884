"""What lies below and beside the panels goes on when a pavement is split in two."""

from datetime import date

import pytest
from django.contrib.messages import get_messages
from django.urls import reverse

from registry.actions.split_pavement import Part, split_pavement
from registry.models import (
    Edge,
    Joint,
    JournalLine,
    Layer,
    ObservationWell,
    Pavement,
    Structure,
)
from registry.models.choices import Role
from tests.actions.plans import drawn_lot, panel_of
from tests.factories import (
    MembershipFactory,
    SeatFactory,
    SectionFactory,
    SpotFactory,
    StratumFactory,
)

pytestmark = pytest.mark.django_db
ON = date(2024, 6, 3)
NOTE = "As read for the whole, {}, before its split on 2024-06-03."


@pytest.fixture
def lot() -> Pavement:
    """Panels A1, A2, B1 and B2 of 3 m by 4 m; it is cut between A and B."""
    return drawn_lot(area_m2=48.0)


def split(lot: Pavement) -> tuple[Pavement, ...]:
    lanes = [frozenset(panel_of(lot, f"{lane}{n}").pk for n in (1, 2)) for lane in "AB"]
    parts = (Part("A side", lanes[0]), Part("B side", lanes[1]))
    return split_pavement(
        pavement=lot, parts=parts, on=ON, why="plat 9", by=None, organisation=None
    )


def said_to_stay() -> str:
    line = JournalLine.objects.get(verb="split")
    return line.changes.get("stays with the whole", ["", ""])[1]


def test_structure_goes_on_at_both_parts_as_it_was_read_for_the_whole(lot):
    old = Structure.objects.create(
        pavement=lot, soil_rate_mm_h=8.0, as_written={"soil_rate_mm_h": "8"}, note="borings 1-4"
    )
    Layer.objects.create(structure=old, kind="choker", depth_mm=50.0)
    Layer.objects.create(
        structure=old, kind="base", depth_mm=300.0, void_ratio=0.38, void_ratio_is_measured=True
    )
    for part in split(lot):
        new = part.structures.get()
        assert (new.soil_rate_mm_h, new.as_written) == (8.0, {"soil_rate_mm_h": "8"})
        assert new.note == f"{NOTE.format(lot)} borings 1-4"
        layers = new.layers.order_by("pk").values_list("kind", "depth_mm", "void_ratio")
        assert list(layers) == [("choker", 50.0, 0.4), ("base", 300.0, 0.38)]
    assert lot.structures.get() == old


def test_structure_of_a_section_goes_with_it_and_one_that_is_over_stays(lot):
    section = SectionFactory(pavement=lot)
    lot.panels.filter(name="B1").update(section=section)
    Structure.objects.create(pavement=lot, section=section)
    Structure.objects.create(pavement=lot, to_on=date(2023, 1, 1))
    first, second = split(lot)
    assert not first.structures.exists()
    assert second.structures.get().section == second.sections.get()


def test_wells_and_joints_go_on_where_they_lie_and_the_rest_is_named(lot):
    for name, place in (("W1", "B2 · 1.00 R · 2.00 U"), ("W2", "by the lamp"), ("W3", "")):
        ObservationWell.objects.create(pavement=lot, name=name, place=place, depth_mm=900.0)
    for between in ("A1|A2", "A1|B1", "all between lanes A and B"):
        Joint.objects.create(pavement=lot, between=between, kind="sawn", depth_mm=38.0)
    first, second = split(lot)
    assert not first.wells.exists()
    [well] = second.wells.all()
    assert (well.name, well.depth_mm, well.note) == ("W1", 900.0, NOTE.format(lot))
    assert [joint.between for joint in first.joints.all()] == ["A1|A2"]
    assert not second.joints.exists()
    assert said_to_stay() == (
        "well W2, no place known; well W3, no place known; joint A1|B1, on both parts; "
        "joint all between lanes A and B, no place known"
    )


def test_strata_go_on_only_where_one_part_has_all_their_rectangles(lot):
    edge = [[3.0, 0.0, 1.5, 4.0], [3.0, 4.0, 1.5, 4.0]]
    field = [[0.0, 0.0, 6.0, 8.0]]
    StratumFactory(pavement=lot, kind="edge", area_m2=12.0, rectangles=edge)
    StratumFactory(pavement=lot, kind="field", area_m2=36.0, rectangles=field)
    first, second = split(lot)
    assert not first.strata.exists()
    [stratum] = second.strata.all()
    assert (stratum.kind, stratum.area_m2, stratum.rectangles) == ("edge", 12.0, edge)
    assert said_to_stay().endswith(", on both parts")


def test_a_fixed_point_on_no_panel_goes_on_by_its_place_or_is_named(lot):
    SpotFactory(pavement=lot, name="P1", right_m=1.0, up_m=2.0)
    SpotFactory(pavement=lot, name="P2", place="B1 · 1.00 R · 1.00 U")
    SpotFactory(pavement=lot, name="P3", place="north end")
    first, second = split(lot)
    assert [spot.name for spot in first.spots.all()] == ["P1"]
    assert [spot.name for spot in second.spots.all()] == ["P2"]
    assert said_to_stay() == "fixed point P3, no place known"


def test_edges_go_with_their_panel(lot):
    Edge.objects.create(panel=panel_of(lot, "A2"), side="left", against="curb", length_m=4.0)
    first, _ = split(lot)
    edge = Edge.objects.get(panel__pavement=first)
    assert (edge.panel.name, edge.side, edge.against, edge.length_m) == ("A2", "left", "curb", 4.0)


def test_who_splits_is_told_what_stays(client, lot):
    member = MembershipFactory()
    SeatFactory(pavement=lot, organisation=member.organisation, role=Role.OWNER)
    ObservationWell.objects.create(pavement=lot, name="W2", place="by the lamp")
    client.force_login(member.person)
    told = {"first": "A side", "second": "B side", "on": f"{ON}", "why": "plat 9"}
    told["panels"] = [panel_of(lot, name).pk for name in ("A1", "A2")]
    answer = client.post(reverse("pavement_split", args=[lot.pk]), told)
    words = [str(message) for message in get_messages(answer.wsgi_request)]
    assert words[-1] == (
        "Stays with the whole, to be begun anew at its part: well W2, no place known."
    )
