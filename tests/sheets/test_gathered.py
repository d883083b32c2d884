from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from registry.actions.draw_plan import draw_plan, grid_of_panels
from registry.actions.move_defect import move_defect
from registry.actions.void_entry import void_entry
from registry.models import Plan, SheetKind
from registry.sheets.contents import digest_of
from registry.sheets.gathered import (
    TITLES,
    NotPrintedYet,
    blank_content,
    content_of,
    refuse_unless_printed,
)
from registry.sheets.printing import draw_sheet, kept_of
from registry.units import System
from tests import factories
from tests.sheets.rows_of_lot import FT, draw_of, lot_of
from tests.visit_rows import defect_at

DAY = date(2026, 5, 11)
pytestmark = pytest.mark.django_db


def gathered(pavement, kind="inspection", system=System.INCH_POUND, organisation=None):
    return content_of(kind, pavement, system=system, printed_on=DAY, organisation=organisation)


def test_own_number_is_that_of_who_prints_and_the_others_stand_beside_it():
    pavement = lot_of()
    manager = factories.OrganisationFactory()
    factories.NumberFactory(pavement=pavement, organisation=manager, number="BC-01")
    factories.NumberFactory(pavement=pavement, number="PP-23-07")
    factories.NumberFactory(pavement=pavement, number="gone", to_on=date(2025, 1, 1))
    factories.NumberFactory(pavement=pavement, number="taken back", is_taken_back=True)
    heading = gathered(pavement, organisation=manager).heading
    assert (heading.own_number, heading.other_numbers) == ("BC-01", ("PP-23-07",))
    assert (heading.pavement, heading.street) == ("North lot", "14 Canal St")
    assert gathered(pavement).heading.own_number == ""


def test_the_plan_in_force_is_printed():
    content = gathered(lot_of())
    assert content.heading.plan_number == 2
    assert len(content.layout.panels) == 44
    assert content.layout.datum.up_toward == "the entrance"


def test_panels_of_an_older_plan_are_not_printed_again():
    pavement = lot_of(1, 2)
    old = pavement.plans.get(number=1)
    factories.PanelFactory(pavement=pavement, plan=old, name="A3", up_m=8.0, exists_to_on=DAY)
    names = [panel.name for panel in gathered(pavement).layout.panels]
    assert names == ["A1", "A2"]


def test_places_are_written_in_the_units_of_the_sheet():
    pavement = lot_of()
    us = {spot.name: spot for spot in gathered(pavement).spots}
    si = {spot.name: spot for spot in gathered(pavement, system=System.SI).spots}
    assert us["U"].place == "D6 · 6.0 R · 6.0 U"
    assert si["U"].place == "D6 · 1.83 R · 1.83 U"
    assert us["W"].place == "B6 · 6.0 R · 6.0 U"
    assert si["W"].place == "B6 · 1.83 R · 1.83 U"
    assert us["W"].right_m == pytest.approx(18 * FT)
    assert us["U"].stratum == "run-on edge"


def test_a_place_in_words_is_printed_as_written():
    spot = next(spot for spot in gathered(lot_of()).spots if spot.name == "M")
    assert (spot.place, spot.right_m) == ("beside the light pole", None)


def test_a_point_of_which_only_the_panel_is_known_stands_in_the_middle_of_it():
    pavement = lot_of()
    panel = pavement.panels.get(name="C4")
    pavement.spots.filter(name="M").update(panel=panel, place="C4 (new)")
    spot = next(spot for spot in gathered(pavement).spots if spot.name == "M")
    assert spot.place == "C4 (new)"
    assert spot.right_m == pytest.approx(panel.right_m + panel.width_m / 2)
    assert spot.up_m == pytest.approx(panel.up_m + panel.length_m / 2)


def test_ended_points_are_not_looked_for_again():
    assert [spot.name for spot in gathered(lot_of()).spots] == ["U", "W", "M"]


def test_a_test_sheet_has_the_fixed_points_and_the_latest_draw():
    pavement = lot_of()
    draw_of(pavement, 1, 2)
    draw_of(pavement, 2, 2)
    content = gathered(pavement, "infiltration")
    assert [spot.name for spot in content.spots] == ["U", "W", "M", "draw 2 S1", "draw 2 S2"]
    assert content.spots[3].place == "A1 · 4.0 R · 8.5 U"
    assert not content.spots[3].is_fixed
    assert content.method == "c1701"
    assert [spot.name for spot in gathered(pavement).spots] == ["U", "W", "M"]


def test_a_spot_beside_the_panels_keeps_its_right_and_up():
    pavement = lot_of(1, 1)
    factories.SpotFactory(pavement=pavement, name="far", right_m=100 * FT, up_m=50 * FT)
    spot = next(spot for spot in gathered(pavement).spots if spot.name == "far")
    assert spot.place == "R 100.0 U 50.0"


def test_a_pavement_without_plan_spots_and_numbers_is_printed_all_the_same():
    content = gathered(factories.PavementFactory())
    assert content.layout is None and content.spots == ()
    sheet = draw_sheet(content, number="INS-0001", public_url="http://x", paper="a4")
    assert sheet.pages == 1


@pytest.mark.parametrize("kind", ["inspection", "infiltration"])
def test_gathering_asks_as_often_for_many_rows_as_for_few(kind):
    few, many = lot_of(1, 1), lot_of(4, 11)
    for nth in range(20):
        factories.SpotFactory(pavement=many, name=f"X{nth}", right_m=1.0, up_m=nth / 2)
        factories.NumberFactory(pavement=many, number=f"N-{nth}")
        defect_at(many, f"A1 · {nth / 2} R · 1.0 U")
    defect_at(few, "A1 · 1.0 R · 1.0 U")
    draw_of(few, 1, 1)
    draw_of(many, 1, 20)
    counts = []
    for pavement in (few, many):
        with CaptureQueriesContext(
            connection,
        ) as queries:
            gathered(pavement, kind)
        counts.append(len(queries))
    assert counts[0] == counts[1] <= (8 if kind == "inspection" else 5)


@pytest.mark.parametrize("kind", [kind for kind in SheetKind if kind not in TITLES])
def test_kinds_that_are_not_printed_yet_say_so(kind):
    with pytest.raises(NotPrintedYet, match="cannot be printed yet"):
        refuse_unless_printed(kind)


def test_an_unknown_kind_is_named_with_those_there_are():
    with pytest.raises(Exception, match="“walk” is not a kind of sheet; there are inspection,"):
        refuse_unless_printed("walk")


def test_the_digest_follows_the_content_and_not_the_day_of_gathering():
    pavement = lot_of()
    first = gathered(pavement)
    assert digest_of(first) == digest_of(gathered(pavement))
    assert digest_of(first) != digest_of(gathered(pavement, system=System.SI))
    factories.SpotFactory(pavement=pavement, name="new")
    assert digest_of(first) != digest_of(gathered(pavement))


def test_the_record_keeps_the_words_that_were_printed():
    kept = kept_of(gathered(lot_of()))
    assert kept["spots"][0] == ["U", "D6 · 6.0 R · 6.0 U", "run-on edge"]
    assert kept["known"] == []
    assert len(kept["digest"]) == 64


def test_a_blank_sheet_says_nothing_of_any_pavement():
    content = blank_content("infiltration", system="si", printed_on=DAY)
    assert content.heading.is_blank and content.heading.pavement == ""
    assert content.spots == ()


def known_of(pavement, system=System.INCH_POUND):
    return {k.number: k for k in gathered(pavement, system=system).known}


def test_known_defects_are_printed_by_their_number_with_place_and_last_look():
    lot = lot_of()
    spot = defect_at(lot, "A2 · 5.0 R · 7.5 U", "prints", look={"count": 8, "depth_m": 0.004})
    defect_at(lot, "beside the light pole", "crack", look={"length_m": 3.0, "crack_width_m": 0.004})
    move_defect(spot, to_state="confirmed", on=date(2024, 1, 1), by=None, organisation=None)
    us, si = known_of(lot), known_of(lot, System.SI)
    assert us[1].last_seen == "8, 0.16 in deep, low 2023-05-19"
    assert (us[1].place, si[1].place) == ("A2 · 5.0 R · 7.5 U", "A2 · 1.52 R · 2.29 U")
    assert us[1].shape.centre == pytest.approx((5 * FT, 19.5 * FT))
    assert (us[2].place, us[2].shape) == ("beside the light pole", None)
    assert us[2].last_seen == "9.8 ft, 4.0 mm wide, moderate 2023-05-19"


def test_closed_void_and_later_defects_are_not_looked_for():
    lot = lot_of()
    closed = defect_at(lot, "A1")
    move_defect(closed, to_state="no_action", on=date(2025, 1, 1), by=None, organisation=None)
    defect_at(lot, "A2", first_seen_on=date(2026, 6, 1))
    void = defect_at(lot, "A3")
    void_entry(void, why="twice", by=None, organisation=None)
    assert known_of(lot) == {}


def test_under_a_later_plan_the_new_name_stands_before_the_old():
    lot = lot_of(2, 2)
    panel = lot.panels.get(name="A2")
    outline = [[5 * FT, 19.5 * FT]]
    defect_at(lot, "A2 · 5.0 R · 7.5 U", panel=panel, outline=outline, outline_kind="spot")
    side, day = 6 * FT, date(2025, 1, 1)
    plan = Plan(pavement=lot, kind="panels", drawn_on=day, number=3)
    panels = grid_of_panels([side] * 4, [side] * 4, placed_on=day)
    draw_plan(plan, panels=panels, by=None, organisation=None)
    assert known_of(lot)[1].place == "A4 · 5.0 R · 1.5 U, was A2 · 5.0 R · 7.5 U"


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("system", list(System))
@pytest.mark.parametrize(("count", "pages"), [(0, 1), (1, 1), (6, 1), (7, 2), (60, 3)])
def test_so_many_known_defects_take_so_many_pages(count, pages, system, paper):
    lot = lot_of()
    for nth in range(count):
        defect_at(lot, f"{'ABCD'[nth % 4]}{nth % 11 + 1} · 5.0 R · 7.5 U")
    content = gathered(lot, system=system)
    sheet = draw_sheet(content, number="INS-0001", public_url="http://x", paper=paper)
    assert sheet.pages == pages
    assert [row[4] for row in kept_of(content)["known"]] == list(
        lot.defects.order_by("number").values_list("pk", flat=True)
    )
