"""A pavement has an area, a thickness and a bearing that can be; one condition a viewpoint."""

import pytest

from registry.models import Pavement
from tests.factories import PavementFactory, SeatFactory, SiteFactory, StandingFactory
from tests.models.refusals import AT, DAY, VOID, refused

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "fields"),
    [
        ("pavement_void_has_reason", VOID),
        ("pavement_area_is_positive", {"area_m2": 0}),
        ("pavement_thickness_is_positive", {"thickness_mm": -1}),
        ("pavement_bearing_is_of_a_compass", {"bearing_of_up_deg": 360}),
        ("pavement_bearing_is_of_a_compass", {"bearing_of_up_deg": -1}),
        ("pavement_position_is_whole_and_on_earth", {"lon": 5.0}),
        ("pavement_datum_is_whole_and_on_earth", {"datum_lat": 5.0}),
    ],
)
def test_what_cannot_be_is_refused(rule, fields):
    refused(rule, PavementFactory, **fields)


def test_condition_is_kept_once_for_each_viewpoint():
    row = StandingFactory()
    refused("standing_once_for_each_viewpoint", StandingFactory, pavement=row.pavement)
    StandingFactory(pavement=row.pavement, viewpoint="town")


def test_pavers_and_grids_are_tested_by_their_own_method():
    methods = {s: Pavement(surface=s).test_method for s in ("pervious_concrete", "porous_asphalt")}
    assert set(methods.values()) == {"c1701"}
    assert Pavement(surface="permeable_pavers").test_method == "c1781"
    assert Pavement(surface="grid").test_method == "c1781"


def test_pavement_is_found_by_its_owner_of_that_instant_alone():
    seat = SeatFactory(organisation__name="Mill Lane Estates", to_at=AT)
    before = AT.replace(year=2023)
    assert Pavement.objects.owned_by("mill lane", at=before).get() == seat.pavement
    assert not Pavement.objects.owned_by("mill lane", at=AT).exists()


def test_pavement_without_a_position_of_its_own_is_on_the_map_at_its_site():
    nowhere = PavementFactory()
    at_site = PavementFactory(site=SiteFactory(lon=-71.0, lat=42.0))
    own = PavementFactory(lon=-72.0, lat=43.0, site=at_site.site)
    found = {row: (row.map_lon, row.map_lat) for row in Pavement.objects.with_points()}
    assert found == {nowhere: (None, None), at_site: (-71.0, 42.0), own: (-72.0, 43.0)}


def test_conditions_that_ask_for_something_come_worst_first_and_due_ones_earliest_first():
    words = ("clean", "working", "not_working", "not_decided", "restore", "watch")
    rows = {word: StandingFactory(word=word) for word in words}
    asking = type(rows["clean"]).objects.asking()
    assert [row.word for row in asking] == ["not_working", "restore", "clean", "not_decided"]
    due = StandingFactory(next_test_due_on=DAY)
    assert list(type(due).objects.due_by(DAY)) == [due]
