"""From load to panel on its page: picture, shares, patterns, what is chosen to be compared."""

import pytest
from django.urls import reverse
from shapely import Polygon

from registry.models import CoverBreak, Load, PlacingDay, RaveledShare
from tests.factories import DefectFactory, ObservationFactory
from tests.placing_factories import WinterEntryFactory
from tests.placing_rows import north_lot, table
from tests.views.record import manager_of

FOOT_M = 0.3048
ZONE = [row["panel"] for row in table("1D_panels.csv") if row["plow or salt zone"]]


@pytest.fixture
def lot(db, client):
    pavement, person = manager_of(north_lot(), role="contractor")
    client.force_login(person)
    own = pavement.seats.get().organisation
    PlacingDay.objects.update(entered_for=own)
    RaveledShare.objects.update(entered_for=own)
    return pavement


def page(client, lot, **asked):
    answer = client.get(reverse("load_panels", args=[lot.pk]), asked)
    assert answer.status_code == 200
    return answer.content.decode()


def test_figures_of_the_dispute_stand_on_the_page(client, lot):
    """Values printed with the dispute."""
    text = page(client, lot, late="25", zone=", ".join(ZONE))
    for said in (
        "0.69 (p under 0.001, 18 loads)", "0.48 (p ", "0.60 (p under 0.001, 18 loads)", "0.02 (p ",
        "6 factors tried", "20000 times, seed 20230822", "Loads 7, 8, 9: 30.0 % of 972 ft²",
        "the other 15: 1.2 %", "move together", "cannot tell them apart",
        "C7", "7 (79%)+8 (21%)", "In the zone +15.1 points on 7 panels; the other 37: +0.9 points",
    ):  # fmt: skip
        assert said in text, said


def test_picture_tells_every_load_and_what_lay_bare_and_the_zone(client, lot):
    day = PlacingDay.objects.get(placed_on="2023-08-22")
    CoverBreak.objects.create(
        placing_day=day, panels=["C8", "C9"], from_at="2023-08-22T17:40Z", to_at="2023-08-22T18:10Z"
    )
    WinterEntryFactory(pavement=lot, panels=ZONE, done_on="2024-01-08", entered_for=day.entered_for)
    text = page(client, lot, zone="D7-D11, B11, C11")
    assert 'class="drawing"' in text and "18 loads over 44 panels." in text
    assert "cover off: C8, C9 bare 30 min" in text and "plow or salt zone" in text
    assert "C11, 9 (100%), 44 % raveled" in text


def test_panels_that_fit_no_pattern_are_named(client, lot):
    """With loads 7 to 9 late and the zone as logged, C5 and C6 hold load 7, and D7 is in it."""
    assert "no plow or salt zone: none." in page(client, lot, late="25", zone=", ".join(ZONE))
    assert "no plow or salt zone: D7, D8, D9, D10, D11." in page(client, lot, late="25")


def test_days_can_be_looked_at_one_by_one(client, lot):
    day = PlacingDay.objects.get(placed_on="2023-08-24")
    text = page(client, lot, day=str(day.pk))
    assert "9 loads over 44 panels." in text and "C8: 100.0 % of it is in no load." in text
    assert "9 loads" in text and "2023-08-24 alone" in text
    assert "18 loads over 44 panels." in page(client, lot)


def test_day_of_another_pavement_is_refused_in_words(client, lot):
    text = page(client, lot, day="999999")
    assert "Select a valid choice" in text and "18 loads over 44 panels." in text


def test_fewer_than_eight_loads_are_listed_without_a_p(client, lot):
    Load.objects.exclude(number__in=[str(n) for n in range(1, 8)]).update(state="sent_back")
    text = page(client, lot)
    assert "Too few: 7 of at least 8 loads." in text
    assert "There are 7: 1, 2, 3, 4, 5, 6, 7." in text and "(p " not in text


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({"late": "soon"}, "is not a number"),
        ({"late": "-3"}, "is out of range"),
        ({"zone": "Q9"}, "names no row or panel of this plan"),
    ],
)
def test_what_cannot_be_compared_is_said_and_the_page_still_stands(client, lot, asked, words):
    text = page(client, lot, **asked)
    assert words in text and "18 loads over 44 panels." in text


def test_two_ways_of_grading_stand_beside_each_other(client, lot):
    RaveledShare.objects.filter(looked_on="2024-04-18").update(graded_by="eye")
    text = page(client, lot)
    assert "2024-04-18, by eye" in text and "2023-10-03, outline by tape" in text
    assert "Change from 2023-10-03 to 2024-10-09" in text


def raveling(lot, outline, *, on="2023-10-03", **more):
    """A raveling with an outline in feet from the datum, looked at on a day."""
    own = lot.seats.get().organisation
    points = [[right * FOOT_M, up * FOOT_M] for right, up in outline]
    row = DefectFactory(
        pavement=lot, kind="raveling", first_seen_on=on, entered_for=own,
        outline=points, outline_kind="area" if points else "", **more,
    )  # fmt: skip
    ObservationFactory(
        defect=row, seen_on=on, entered_for=own, area_m2=Polygon(points).area if points else None
    )
    return row


def corner_of_c8(side_ft):
    """A square at the home corner of C8, which lies 24 ft right and 84 ft up."""
    return [(24, 84), (24 + side_ft, 84), (24 + side_ft, 84 + side_ft), (24, 84 + side_ft)]


def test_outlines_of_defects_are_a_look_of_their_own_and_both_are_shown(client, lot):
    """6 ft by 6 ft of 12 ft by 12 ft is 25 %; a smaller square inside it counts no second time."""
    raveling(lot, corner_of_c8(6))
    raveling(lot, corner_of_c8(3))
    text = " ".join(page(client, lot).split())
    assert "2023-10-03, defects’ outlines on the plan" in text and "25.0 %" in text
    assert "Used: outline by tape, 44 panels. Of the same day, shown above and not added:" in text
    assert "defects’ outlines on the plan, 1 panel." in text and "0.69 (p under 0.001" in text
    text = " ".join(page(client, lot, look="2023-10-03-plan_outline").split())
    assert "Used: defects’ outlines on the plan, 1 panel." in text
    assert "25 % raveled" in text
    assert "Too few: 0 of at least 8 loads." in text


def test_raveling_on_concrete_poured_later_is_not_of_these_loads(client, lot):
    raveling(lot, corner_of_c8(6), on="2025-10-03", concrete_placed_on="2025-05-13")
    assert "outlines on the plan" not in page(client, lot)


def test_look_that_took_no_extent_leaves_its_panel_open_and_says_so(client, lot):
    panel = lot.panels.get(name="C8")
    raveling(lot, [], panel=panel)
    raveling(lot, corner_of_c8(6))
    text = " ".join(page(client, lot).split())
    assert "C8, 2023-10-03, no share from defects: Raveling is known there" in text


def test_wrong_look_is_told_and_the_first_is_shown(client, lot):
    text = page(client, lot, look="never")
    assert "Select a valid choice" in text and "0.69 (p under 0.001, 18 loads)" in text


def test_page_asks_as_much_for_twenty_more_defects(client, lot, django_assert_max_num_queries):
    with django_assert_max_num_queries(12) as before:
        page(client, lot)
    for _ in range(20):
        raveling(lot, corner_of_c8(6))
    with django_assert_max_num_queries(12) as after:
        page(client, lot)
    assert len(after) == len(before)


def test_a_municipality_is_told_what_it_reads_and_not_that_there_is_no_plan(client, lot):
    _, reviewer = manager_of(lot, role="municipality")
    client.force_login(reviewer)
    text = page(client, lot)
    assert "No placing day that you may see is on record" in text
    assert "a municipality reads lots and their acceptance alone" in text
    assert "The plan has no panels" not in text and "Draw the plan first" not in text
