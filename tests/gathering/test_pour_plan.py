"""A pour plan worked out from its row; figures by hand from the feet and minutes given."""

from datetime import date, datetime
from zoneinfo import ZoneInfo

import pytest

from registry.gathering.pour_plan import Lane, lanes_of, limit_of, pour_figures
from registry.gathering.pour_words import pour_words
from registry.models import PourPlan
from registry.placing import NO_BLEED, PLAIN, NotGiven
from registry.units import Kind, System, to_si
from tests.factories import PavementFactory
from tests.placing_factories import PourPlanFactory
from tests.placing_rows import north_lot

US = System.INCH_POUND
ZONE = "America/New_York"
FT = 0.3048
LANES = {name: Lane(name, 12 * FT, 0.0, 132 * FT) for name in "AC"}
# Weather of the first day of the dispute at four of its loads; evaporation as printed there.
HOURS = (("07:43", 66, 73, 3, 72), ("08:45", 72, 60, 6, 76), ("09:20", 76, 53, 8, 79),
         ("09:52", 79, 48, 10, 82))  # fmt: skip
PRINTED = ("0.040", "0.081", "0.121", "0.171")


def hour(clock, air, humidity, wind, concrete):
    warm = (to_si(value, Kind.TEMPERATURE, US) for value in (air, concrete))
    air_c, concrete_c = warm
    return [clock, air_c, humidity, to_si(wind, Kind.SPEED, US), concrete_c]


def plan(**more) -> PourPlan:
    """Two lanes of 132 ft, 7 yd3 a load, 6 in thick, 1.125 ft a minute: a load in 28 min."""
    given = {
        "system": US.value,
        "planned_on": date(2023, 8, 22),
        "first_at": datetime(2023, 8, 22, 6, 18, tzinfo=ZoneInfo(ZONE)),
        "lanes": [["A", 0.0, 132 * FT], ["C", 0.0, 132 * FT]],
        "thickness_mm": 152.4,
        "load_m3": to_si(7, Kind.VOLUME, US),
        "placing_speed_m_min": to_si(1.125, Kind.PLACING_SPEED, US),
        "cover_min": 15,
        "plant_min": 28,
        "forecast": [hour(*one) for one in HOURS],
    }
    return PourPlan(**{**given, **more})


def figures(**more):
    return pour_figures(plan(**more), LANES, ZONE)


def test_trucks_come_every_28_minutes_and_fill_31_and_a_half_feet():
    found = figures()
    assert found.placing.spacing_min == pytest.approx(28.0)  # 7·27/(12·0.5)/1.125
    assert found.placing.covers_m == pytest.approx(31.5 * FT)
    assert len(found.plan.loads) == 9  # 264 ft at 31.5 ft
    assert found.order_m3 == pytest.approx(264 * FT * 12 * FT * 0.1524)


def test_fifth_load_goes_over_the_end_of_the_lane():
    strips = figures().plan.loads[4].strips
    assert [(s.lane, round(s.from_m / FT, 1), round(s.to_m / FT, 1)) for s in strips] == [
        ("A", 126.0, 132.0), ("C", 0.0, 25.5),
    ]  # fmt: skip


def test_evaporation_is_that_of_the_table_in_the_form_of_the_plan():
    assert [one.drying.words.split()[0] for one in figures().hours] == list(PRINTED)
    assert [one.is_over for one in figures().hours] == [False, False, True, True]


def test_stop_rule_follows_from_forecast_spacing_and_cover():
    """Between 08:45 (0.081) and 09:20 (0.121) it passes 0.1 about 09:01; 28 + 15 min before it."""
    found = figures().plan
    assert f"{found.passes_at:%H:%M}" == "09:01"
    assert found.stop_words == "After 08:18 no further load."
    # 264 ft at 1.125 ft a minute and 15 min of cover: 249.7 min before 09:01.
    assert f"{found.latest_start:%H:%M}" == "04:51"
    assert found.late == (6, 7, 8, 9)


def test_each_load_is_batched_so_that_it_is_there():
    found = figures()
    assert [f"{at:%H:%M}" for at in found.batch_at[:3]] == ["05:50", "06:18", "06:46"]
    assert figures(plant_min=None).batch_at == ()


@pytest.mark.parametrize(
    ("more", "reason"),
    [
        ({"forecast": []}, "There is no forecast"),
        ({"forecast": [[*hour(*HOURS[0])[:4], None]]}, "No evaporation without concrete"),
        ({"limit_by": "plain"}, "stays within the limit for plain concrete until 09:52"),
    ],
    ids=["none", "no concrete", "never over"],
)
def test_reason_stands_in_place_of_the_stop(more, reason):
    found = figures(**more).plan
    assert isinstance(found.stop_at, NotGiven) and reason in found.stop_words
    assert len(found.loads) == 9 and found.late == ()


def test_own_temperature_of_the_concrete_stands_in_where_the_forecast_names_none():
    rows = [[*hour(*one)[:4], None] for one in HOURS]
    found = figures(forecast=rows, concrete_c=to_si(79, Kind.TEMPERATURE, US))
    assert found.hours[2].drying.words.split()[0] == "0.121"


@pytest.mark.parametrize(
    ("lanes", "more", "reason"),
    [
        ({}, {}, "Draw the panel plan first"),
        (LANES, {"lanes": []}, "Say which lanes"),
        ({**LANES, "C": Lane("C", 10 * FT, 0.0, 40.0)}, {}, "not of one width"),
        (LANES, {"load_m3": None}, "are needed"),
        (LANES, {"first_at": None}, "are needed"),
        (LANES, {"lanes": [["A", 5.0, 5.0]]}, "lies beyond"),
        (LANES, {"wasted_percent": 100}, "less than all"),
    ],
    ids=["no plan", "no lane", "widths", "no load", "no start", "no length", "all wasted"],
)
def test_what_is_missing_is_said_in_place_of_a_plan(lanes, more, reason):
    found = pour_figures(plan(**more), lanes, ZONE)
    assert isinstance(found.plan, NotGiven) and reason in found.plan.reason


def test_an_hour_that_the_clocks_skip_is_refused_in_words():
    """New York, 2023-03-12: there is no 02:30."""
    row = plan(planned_on=date(2023, 3, 12), forecast=[hour("02:30", *HOURS[0][1:])])
    assert isinstance(pour_figures(row, LANES, ZONE).plan, NotGiven)


def test_limits_are_those_of_the_source_or_the_contract():
    assert limit_of(plan()) == NO_BLEED and limit_of(plan(limit_by="plain")) == PLAIN
    own = limit_of(plan(limit_by="own", drying_limit_kg_m2_h=0.75))
    assert own.kg_m2_h == 0.75 and own.lb_ft2_h == pytest.approx(0.1536, abs=1e-4)


def test_what_does_not_fit_together_is_asked_and_changes_no_number():
    found = figures(cover_within_min=10, plant_min=95, batch_to_discharge_min=90, cover_crew=0)
    told = " ".join(found.doubts)
    assert "contract asks for 10 min" in told and "within 90 min of batching" in told
    assert "Nobody has nothing but the cover" in told
    assert found.plan.loads == figures(plant_min=95).plan.loads


def test_words_are_in_the_readers_units_and_evaporation_in_the_form_of_the_plan():
    feet, metres = (pour_words(plan(), figures(), system) for system in (US, System.SI))
    assert feet.rule == metres.rule == "After 08:18 no further load."
    assert "A truck every 28 min; a load fills 31.5 ft of a lane." in feet.facts
    assert "A truck every 28 min; a load fills 9.60 m of a lane." in metres.facts
    assert feet.loads[0] == (
        "1", "7.0 yd³", "05:50", "06:18", "06:46", "07:01", "A 0.0-31.5 ft",
    )  # fmt: skip
    assert feet.hours[2] == (
        "09:20", "76 °F", "53 %", "8.0 mph", "79 °F", "0.121 lb/ft²/h", "over the limit",
    )  # fmt: skip
    assert metres.hours[2][1:6] == ("24 °C", "53 %", "12.9 km/h", "26 °C", "0.121 lb/ft²/h")
    assert any("Begun after the stop: load 6, 7, 8, 9" in doubt for doubt in feet.doubts)
    assert "after the stop" in feet.loads[5][-1] and "after the stop" not in feet.loads[4][-1]


@pytest.mark.django_db
def test_lanes_come_from_the_panels_drawn():
    found = lanes_of(north_lot(with_shares=False), date(2023, 8, 22))
    assert list(found) == ["A", "B", "C", "D"]
    assert found["D"].width_m == pytest.approx(12 * FT)
    assert (found["D"].from_m, found["D"].to_m) == pytest.approx((0.0, 132 * FT))
    assert lanes_of(PavementFactory(), date(2023, 8, 22)) == {}


@pytest.mark.django_db
def test_stored_plan_gives_the_same_as_the_one_being_written():
    row = PourPlanFactory(pavement=north_lot(with_shares=False))
    lanes = lanes_of(row.pavement, row.planned_on)
    row.refresh_from_db()
    assert pour_figures(row, lanes, ZONE).plan.loads[0].number == 1
