"""The tests in a clogged strip. The places are worked out by hand: 3 m by 4 m panels."""

from datetime import date

import pytest

from registry.gathering.inside_tests import look_inside
from registry.models import Defect, InfiltrationTest
from tests.actions.plans import drawn_lot, panel_of
from tests.factories import DefectFactory, InfiltrationTestFactory, SpotFactory

pytestmark = pytest.mark.django_db
STRIP = [[0, 0], [3, 0], [3, 2], [0, 2]]
"""The lower half of A1."""


@pytest.fixture
def lot():
    return drawn_lot()


def run(lot, panel: str = "", at=(None, None), day: int = 1, **spot) -> InfiltrationTest:
    row = SpotFactory(
        pavement=lot,
        panel=panel_of(lot, panel) if panel else None,
        right_m=at[0],
        up_m=at[1],
        **spot,
    )
    return InfiltrationTestFactory(pavement=lot, spot=row, started_on=date(2024, 5, day))


def strip(lot, **fields) -> Defect:
    given = {"kind": "clogged", "outline": STRIP, "outline_kind": "area", **fields}
    return DefectFactory(pavement=lot, **given)


def told(row: Defect) -> list[tuple[int, str]]:
    tests = InfiltrationTest.objects.filter(pavement=row.pavement).select_related("spot__panel")
    return [(one.test.pk, one.panel) for one in look_inside(row, tests).found]


def test_spots_in_the_outline_and_on_its_edge_are_inside_newest_first(lot):
    older, newer = run(lot, at=(1, 1), day=1), run(lot, at=(3, 2), day=2)
    run(lot, at=(1, 2.1), day=3)
    run(lot, at=(3.1, 1), day=4)
    assert told(strip(lot)) == [(newer.pk, ""), (older.pk, "")]


def test_spot_of_which_only_the_panel_is_known_is_told_with_its_panel(lot):
    near = run(lot, "A1")
    run(lot, "B1")
    run(lot, "A2")
    assert told(strip(lot)) == [(near.pk, "A1")]


def test_place_of_which_only_the_panel_is_known_shows_the_tests_of_that_panel(lot):
    by_panel, by_point = run(lot, "A1", day=1), run(lot, at=(2, 3), day=2)
    run(lot, at=(4, 3), day=3)
    row = strip(lot, outline=[], outline_kind="", panel=panel_of(lot, "A1"))
    assert told(row) == [(by_point.pk, "A1"), (by_panel.pk, "A1")]


def test_place_in_words_says_so_instead_of_showing_nothing(lot):
    run(lot, "A1")
    found = look_inside(strip(lot, outline=[], outline_kind="", place="by the drive"), ())
    assert (found.found, found.is_placed) == ((), False)


def test_tests_of_concrete_that_was_replaced_are_left_out(lot):
    run(lot, at=(1, 1), concrete_placed_on=date(2023, 4, 1))
    new = run(lot, at=(1, 1), day=2, concrete_placed_on=date(2024, 4, 1))
    unknown = run(lot, at=(1, 1), day=3)
    row = strip(lot, concrete_placed_on=date(2024, 4, 1))
    assert told(row) == [(unknown.pk, ""), (new.pk, "")]


def test_kinds_that_have_nothing_to_do_with_water_show_no_tests(lot):
    run(lot, at=(1, 1))
    assert look_inside(strip(lot, kind="crack"), InfiltrationTest.objects.all()) is None
