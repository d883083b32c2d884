"""What an order that was done is worth: suggestion, debris (N23), cost of function (N24)."""

from datetime import date, timedelta

import pytest

from registry.gathering.checked_order import done_event
from registry.gathering.gains import gains_of
from registry.models import Cleaning, InfiltrationTest
from registry.planning.checked_order import Suggestion
from registry.planning.debris import DebrisOnArea
from registry.planning.words import NotDecided
from tests import factories
from tests.sheets.rows_of_lot import lot_of

FT2 = 0.3048**2
DONE_ON = date(2026, 5, 4)


@pytest.fixture
def order(db):
    lot = lot_of(2, 3)
    return factories.WorkOrderFactory(
        pavement=lot, method="wash_and_vacuum", passes=2, price_agreed=500, area_m2=1000 * FT2
    )


def read_at(order, days, mm_h, **fields):
    """A dry test so many days after the cleaning."""
    row = factories.InfiltrationTestFactory(
        pavement=order.pavement,
        spot=order.pavement.spots.get(name="U"),
        started_on=DONE_ON + timedelta(days=days),
        rain_within_24_h="no",
        use="trend",
        **fields,
    )
    value = mm_h / 25.4
    given = {"result_value": value, "result_constant": 126870.0, "result_rate_mm_h": mm_h}
    InfiltrationTest.objects.filter(pk=row.pk).update(system="inch_pound", **given)
    return row


def worth(order, action_mm_h=254.0, is_only=True, **fields):
    given = {"passes": 2, "done_on": DONE_ON, "method": order.method, "is_restorative": True}
    row = factories.CleaningFactory(
        pavement=order.pavement, work_order=order, **{**given, **fields}
    )
    row = Cleaning.objects.prefetch_related("panels__panel").get(pk=row.pk)
    tests = order.pavement.infiltration_tests.select_related("spot", "pavement__site")
    gains = gains_of(row, tests, [])
    given = {"parts": row.panels.all(), "action_mm_h": action_mm_h, "is_only": is_only}
    return done_event(order, row, gains, **given)


def test_brought_above_the_action_level_at_the_price_agreed(order):
    read_at(order, -2, 127.0)
    read_at(order, 3, 508.0)
    found = worth(order)
    assert found.judgement.suggestion is Suggestion.ACCEPT
    assert found.judgement.reasons == ("All rows, 2 passes.", "U: gain 4.0.")
    # $500 over 1000 ft2, all of it brought up from 5 to 20 in/h: $0.50 a ft2
    assert found.function.per_m2_brought * FT2 == pytest.approx(0.50)
    assert found.is_price_agreed and found.function.brought == ("the area done",)


def test_area_not_below_before_was_not_brought_up(order):
    read_at(order, -2, 300.0)
    read_at(order, 3, 508.0)
    found = worth(order, cost=250)
    assert found.function.per_m2 * FT2 == pytest.approx(0.25) and not found.is_price_agreed
    assert "No part was brought" in str(found.function.per_m2_brought)


def test_without_dry_tests_a_restorative_order_is_not_decided(order):
    found = worth(order)
    assert found.judgement.suggestion is Suggestion.NOT_DECIDED
    assert "dry tests before and after" in found.judgement.reasons[0]
    assert str(found.function.per_m2_brought) == "No test before the cleaning."


def test_fewer_passes_than_asked_is_to_redo(order):
    assert worth(order, passes=1).judgement.suggestion is Suggestion.REDO


def test_rows_missed_are_named_and_their_area_is_not_counted(order):
    order.area_m2 = None
    row = factories.CleaningFactory(
        pavement=order.pavement, work_order=order, state="in_part", passes=2, covers_all=False,
        done_on=DONE_ON, method="vacuum", surface="dry",
    )  # fmt: skip
    for panel in order.pavement.panels.all():
        row.panels.create(panel=panel, is_missed=panel.name == "A3", why="car")
    row = Cleaning.objects.prefetch_related("panels__panel").get(pk=row.pk)
    given = {"parts": list(row.panels.all()), "action_mm_h": None, "is_only": True}
    found = done_event(order, row, (), **given)
    assert found.judgement.suggestion is Suggestion.IN_PART
    assert found.judgement.reasons == ("Not done: A3 (car).",)
    assert found.area_m2 == pytest.approx(5 * 144 * FT2)


def test_debris_of_the_worked_example(order):
    # practice: 1.7 yd3 from 4 320 ft2 is 0.39 yd3 per 1 000 ft2
    found = worth(order, area_m2=4320 * FT2, debris_m3=1.7 * 0.9144**3, debris_wet="dry")
    assert isinstance(found.debris, DebrisOnArea) and found.debris.noted == "dry"
    assert found.debris.yd3_a_1000_ft2 == pytest.approx(0.39, abs=0.005)
    guessed = worth(order, area_m2=10.0, debris_m3=1.0, debris_is_guessed=True)
    assert isinstance(guessed.debris, NotDecided)


def test_turned_away_is_worth_nothing(order):
    found = worth(order, state="turned_away", why_not="cars")
    assert found.judgement is None and found.function is None


def test_part_done_without_a_row_named_has_no_area(order):
    found = worth(order, state="in_part", missed_why="rain", covers_all=False)
    assert found.area_m2 is None
    assert found.judgement.reasons == ("Not done: rows not named (rain).",) or (
        found.judgement.suggestion is Suggestion.NOT_DECIDED
    )
