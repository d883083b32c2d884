"""Rows become the problem of a round; each accident of a crew-day keeps its order out by name.

The kinds of accident are those of fitting work into crew-days (common practice, no source): hours
of the site, noise, notice, dry surface, temperature, truck, hose, water permit, dump hours, decant
place, hopper, licence and hours, people, after-test.
"""

from datetime import UTC, date, datetime, time, timedelta

import pytest

from registry.gathering.round_plan import solve_gathered
from registry.gathering.round_problem import gather_round, local_times_of
from registry.models import Cleaning, RoundPin, Seat, TravelTable
from registry.planning.rounds.faults import RoundError
from registry.planning.rules import Rule
from tests.factories import (
    CleaningFactory,
    CrewHolidayFactory,
    DumpPlaceFactory,
    ExtraShiftFactory,
    OrganisationFactory,
    SeasonDayFactory,
    SeasonFactory,
    SiteWindowFactory,
    WaterPointFactory,
)
from tests.gathering.rounds import AT, LAT, LON, MONDAY, SUNDAY, asked, crew, keeper, order

pytestmark = pytest.mark.django_db
DAY = timedelta(days=1)
EVERY_DAY = range(7)


def solved(organisation, *, at=AT, **fields):
    row = asked(organisation, **fields)
    return solve_gathered(row, gather_round(row, at=at), clock=lambda: 0.0)


def rules_left(result):
    left = {left.breach.rule for left in result.plan.left_out}
    return left | {breach.rule for _, breach in result.given.not_ready}


def test_order_is_placed_by_the_clock_of_its_site():
    org = keeper()
    crew(org)
    row = order(org)
    result = solved(org)
    assert result.found == ()
    day = result.plan.day_of_order[row.number]
    # N21 by hand: 1000 / (1.5 * 2.4 * 1000 / 3600 * 0.65) / 60 + 30 = 55.6 minutes.
    assert result.given.problem.orders[0].minutes_for("crew A") == 56
    assert day.crew == "crew A"
    assert day.leaves_at == datetime(2031, 9, 15, 11, tzinfo=UTC)  # 07:00 in summer time


def shut(site, hours, kind="access", **fields):
    return SiteWindowFactory(site=site, kind=kind, hours=hours, **fields)


def dump(org, **fields):
    given = {"name": "tip", "lon": LON, "lat": LAT, "unloading_min": 20.0}
    return DumpPlaceFactory(organisation=org, **given | fields)


def wash(org, **fields):
    return order(org, method="wash_and_vacuum", **fields)


def closed_site(org):
    shut(order(org).pavement.site, [[5, "05:00", "09:00"]])  # Saturdays alone


def noise(org):
    shut(order(org).pavement.site, [[n, "16:00", "22:00"] for n in EVERY_DAY], kind="noise")


def notice(org):
    order(org, site={"notice_h": 24.0 * 9})


def axle(org):
    order(org, site={"heaviest_axle_kg": 5999.0})


def axle_on_the_way_in(org):
    order(org, site={"heaviest_axle_kg": 9000.0, "way_in_axle_kg": 5999.0})


def height(org):
    order(org, site={"clearance_m": 2.9})


def width(org):
    order(org, site={"way_in_width_m": 2.0})


def hose(org):
    wash(org, site={"hose_m": 31.0})


def permit(org):
    point = WaterPointFactory(
        organisation=org, lon=LON, lat=LAT, permit="41", permit_last_on=MONDAY - DAY
    )
    place = dump(org, takes_wash_water=True)
    wash(org, water_point=point, dump_place=place, dump_and_water_h=0.5)


def dump_closed(org):
    place = dump(org, takes_wash_water=True, hours=[[5, "07:00", "15:00"]])
    wash(org, dump_place=place, dump_and_water_h=0.5)


def decant(org):
    wash(org, dump_place=dump(org, takes_wash_water=False), dump_and_water_h=0.5)


def licence(org):
    order(org, licence_needed="heavy goods")


def people(org):
    order(org, people_needed=3)


def hopper(org):
    row = order(org)
    CleaningFactory(
        pavement=row.pavement, method="vacuum", done_on=date(2030, 5, 1), area_m2=100.0,
        debris_m3=0.11,
    )  # fmt: skip


def season(org):
    row = order(org, method="regenerative_air")
    SeasonFactory(
        organisation=row.organisation, name="wet", methods_not=["regenerative_air"],
        from_month=9, from_day=1, to_month=9, to_day=30,
    )  # fmt: skip


def days(org):
    order(org, earliest_on=SUNDAY + DAY)


def no_area(org):
    row = order(org)
    row.pavement.area_m2 = None
    row.pavement.save(update_fields=["area_m2"])


def no_position(org):
    order(org, site={"lon": None, "lat": None})


def turning(org):
    order(org, site={"turning_m": 10.9})


ABLE = {
    "methods": ["vacuum", "wash_and_vacuum", "regenerative_air"], "width_m": 2.1, "hose_m": 30.0,
    "hopper_m3": 1.0, "turning_m": 11.0,
}  # fmt: skip
ACCIDENTS = [
    (Rule.WINDOW, closed_site), (Rule.NOISE, noise), (Rule.NOTICE, notice), (Rule.AXLE, axle),
    (Rule.AXLE, axle_on_the_way_in),
    (Rule.HEIGHT, height), (Rule.WIDTH, width), (Rule.TURNING, turning),
    (Rule.HOSE, hose), (Rule.WATER_PERMIT, permit),
    (Rule.DUMP_HOURS, dump_closed), (Rule.DECANT, decant), (Rule.LICENCE, licence),
    (Rule.PEOPLE, people), (Rule.HOPPER, hopper), (Rule.SEASON, season), (Rule.DAYS, days),
    (Rule.SERVICE, no_area), (Rule.TRAVEL, no_position),
]  # fmt: skip


@pytest.mark.parametrize(("rule", "accident"), ACCIDENTS)
def test_accident_keeps_its_order_out_by_its_rule(rule, accident):
    org = keeper()
    crew(org, machine=ABLE)
    fine = order(org, n=9)
    accident(org)
    result = solved(org)
    assert rules_left(result) == {rule}
    assert set(result.plan.day_of_order) == {fine.number}
    assert result.found == ()


@pytest.mark.parametrize(
    ("rule", "method", "fields", "weather"),
    [
        (Rule.DRY_SURFACE, "vacuum", {}, [True, None]),
        (Rule.TEMPERATURE, "wash_and_vacuum", {}, [None, 4.0]),  # 40 °F is 4.4 °C
        (Rule.TEMPERATURE, "vacuum", {"lowest_c": 10.0}, [False, 9.0]),
    ],
)
def test_weather_foretold_keeps_an_order_from_its_days(rule, method, fields, weather):
    org = keeper()
    crew(org, machine={"keeps_wash_water": True})
    order(org, method=method, **fields)
    foretold = [[(MONDAY + n * DAY).isoformat(), *weather] for n in range(7)]
    assert rules_left(solved(org, weather=foretold)) == {rule}
    assert rules_left(solved(org)) == set()


def test_wash_keeps_off_the_day_before_a_frost():
    """No frost within 24 h of a wash; a vacuum does not mind it."""
    org = keeper()
    crew(org, machine={"keeps_wash_water": True})
    order(org, method="wash_and_vacuum", latest_on=MONDAY)
    order(org, n=1, latest_on=MONDAY)
    foretold = [[MONDAY.isoformat(), False, 6.0], [(MONDAY + DAY).isoformat(), False, -1.0]]
    result = solved(org, weather=foretold)
    (left,) = result.plan.left_out
    assert (left.order, left.breach.rule) == ("W-0", Rule.TEMPERATURE)
    assert left.breach.words == "No frost within 24 h; 2031-09-16 goes down to -1 °C."


def test_water_point_taken_on_site_is_open_then():
    """A hydrant open till 07:30 is of no use to a wash that takes longer."""
    org = keeper()
    crew(org, machine={"keeps_wash_water": True})
    place = {"organisation": org, "lon": LON, "lat": LAT}
    hydrant = WaterPointFactory(
        name="hydrant", hours=[[n, "07:00", "07:30"] for n in range(5)], **place
    )
    order(org, method="wash_and_vacuum", water_point=hydrant)
    assert rules_left(solved(org)) == {Rule.WATER_HOURS}
    hydrant.hours = [[n, "07:00", "19:00"] for n in range(5)]
    hydrant.save(update_fields=["hours"])
    assert rules_left(solved(org)) == set()


def test_end_of_rain_that_is_not_known_is_told_where_work_needs_a_dry_surface():
    org = keeper()
    crew(org)
    row = order(org)
    wet = [[MONDAY.isoformat(), True, None], [(MONDAY + DAY).isoformat(), True, None, "06:00"]]
    told = gather_round(asked(org, weather=wet), at=AT)
    assert told.notes[0].startswith(f"No hour is written at which the rain of {MONDAY} ends")
    assert solved(org, weather=wet).plan.days[0].on == MONDAY + 2 * DAY
    row.must_be_dry = "no"
    row.save(update_fields=["must_be_dry"])
    assert gather_round(asked(org, weather=wet), at=AT).notes == ()


def test_after_test_needs_a_dry_day_within_a_fortnight():
    org = keeper()
    crew(org, machine={"keeps_wash_water": True})
    wash(org, after_test_due_on=SUNDAY + 14 * DAY)
    wet = [[(MONDAY + n * DAY).isoformat(), True, None] for n in range(1, 30)]
    assert rules_left(solved(org, weather=wet)) == {Rule.AFTER_TEST}
    assert rules_left(solved(org, weather=wet[:-15])) == set()


def test_licence_hours_end_the_day_before_the_shift_does():
    org = keeper()
    crew(org, licence_hours=0.9)
    order(org)
    assert rules_left(solved(org)) == {Rule.WORK_HOURS}


def test_round_of_today_is_planned_from_the_next_quarter_of_the_hour_at_the_site_and_says_so():
    """14:50 UTC is 10:50 in New York in September."""
    org = keeper()
    crew(org)
    order(org)
    now = datetime(MONDAY.year, MONDAY.month, MONDAY.day, 14, 50, tzinfo=UTC)
    result = solved(org, at=now)
    assert result.found == ()
    (day,) = result.plan.days
    assert (day.on, day.leaves_at >= now + timedelta(minutes=10)) == (MONDAY, True)
    assert f"Planned from {MONDAY} 11:00 on" in " ".join(result.given.notes)
    assert solved(org).given.notes == ()


def test_dated_day_of_a_season_holds_in_a_round_in_place_of_the_calendar():
    """The season that rules a vacuum out ends on 10 September, or with the last sand."""
    org = keeper()
    crew(org)
    row = order(org, pavement_fields={"winter_sand": "yes"})
    SeasonFactory(
        organisation=org, methods_not=["vacuum"], from_month=9, from_day=1, to_month=9, to_day=10,
        ends_at=["last_sand"],
    )  # fmt: skip
    assert {day.on for day in solved(org).plan.days} == {MONDAY}
    SeasonDayFactory(organisation=org, fact="last_sand", on=MONDAY + 2 * DAY)
    result = solved(org)
    (day,) = result.plan.days
    assert (day.on > MONDAY + 2 * DAY, result.found) == (True, ())
    SeasonDayFactory(
        organisation=org, fact="last_sand", on=SUNDAY, climate=row.pavement.site.climate
    )
    (left,) = solved(org).given.not_ready
    assert left[1].rule is Rule.SEASON


def test_sand_of_the_winter_is_off_within_three_weeks_unless_swept_since():
    org = keeper()
    crew(org)
    row = order(org, pavement_fields={"winter_sand": "yes"}, latest_on=SUNDAY)
    SeasonDayFactory(organisation=org, fact="last_sand", on=MONDAY - 19 * DAY)
    (given,) = gather_round(asked(org), at=AT).problem.orders
    assert given.latest_on == MONDAY + 2 * DAY
    CleaningFactory(pavement=row.pavement, method="vacuum", done_on=MONDAY - 10 * DAY)
    (given,) = gather_round(asked(org), at=AT).problem.orders
    assert given.latest_on == SUNDAY


def test_no_wash_within_28_days_of_placing_and_calendar_that_names_no_climate_is_told():
    org = keeper()
    crew(org)
    wash(
        org,
        pavement_fields={"placed_on": MONDAY - 25 * DAY},
        dump_place=dump(org, takes_wash_water=True),
    )
    (given,) = gather_round(asked(org), at=AT).problem.orders
    assert [(span.first_on, span.last_on) for span in given.season] == [(MONDAY + 3 * DAY, SUNDAY)]
    for climate in ("dry", "wet"):
        SeasonFactory(organisation=org, climate=climate)
    told = gather_round(asked(org), at=AT).notes
    assert "No season is looked at for W-0" in told[0] and "several climates" in told[0]


def test_break_is_not_worked_through():
    org = keeper()
    crew(org, breaks=[["07:30", "15:20"]])
    order(org)
    left = rules_left(solved(org))
    assert len(left) == 1
    assert left <= {Rule.SHIFT, Rule.BREAK}


def test_days_off_and_extra_shifts_are_kept():
    org = keeper()
    row = crew(org, shifts=[[0, "07:00", "15:30"]])
    order(org)
    CrewHolidayFactory(organisation=org, first_on=MONDAY, last_on=MONDAY)
    assert rules_left(solved(org, last_on=MONDAY)) == {Rule.HOLIDAY}
    ExtraShiftFactory(crew=row, on=SUNDAY, from_clock=time(7), to_clock=time(11))
    assert solved(org).plan.days[0].on == SUNDAY


def test_hours_that_hold_from_a_day_on_shut_the_site_from_that_day():
    org = keeper()
    crew(org)
    site = order(org, earliest_on=MONDAY + DAY).pavement.site
    shut(site, [[n, "00:00", "00:00"] for n in EVERY_DAY], kind="closed", from_on=MONDAY + DAY,
         to_on=MONDAY + 4 * DAY)  # fmt: skip
    assert solved(org).plan.days[0].on == MONDAY + 4 * DAY


def test_own_hours_of_a_pavement_stand_in_place_of_those_of_its_site():
    org = keeper()
    crew(org)
    pavement = order(org).pavement
    shut(pavement.site, [[0, "07:00", "15:00"]])
    shut(pavement.site, [[2, "07:00", "15:00"]], pavement=pavement)
    assert solved(org).plan.days[0].on == MONDAY + 2 * DAY


def test_crew_without_machine_or_depot_is_named_and_not_planned():
    org = keeper()
    row = crew(org, name="B")
    row.depot = None
    row.save(update_fields=["depot"])
    order(org)
    given = gather_round(asked(org), at=AT)
    assert given.crews == {}
    assert given.notes == ("Crew “B” is not planned: no depot is chosen.",)


def test_order_of_another_firm_or_without_a_seat_is_not_ours():
    org = keeper()
    crew(org)
    order(org, n=1, sweeper=OrganisationFactory())
    given_up = order(org, n=2)
    Seat.objects.filter(pavement=given_up.pavement).update(to_at=AT - DAY)
    order(org, n=3, state="asked_for")
    mine = order(org, n=4)
    assert set(gather_round(asked(org), at=AT).orders) == {mine.number}


def test_order_that_has_a_day_outside_of_the_round_keeps_it():
    org = keeper()
    crew(org)
    order(org, n=1, state="dated", dated_for=SUNDAY + DAY)
    order(org, n=2, state="dated", dated_for=MONDAY - DAY)
    past = order(org, n=3, state="dated", dated_for=AT.date() - DAY)
    inside = order(org, n=4, state="dated", dated_for=MONDAY)
    assert set(gather_round(asked(org), at=AT).orders) == {past.number, inside.number}


def test_pinned_orders_stay_on_their_day():
    org = keeper()
    row = crew(org)
    fixed = {"state": "dated", "dated_for": MONDAY + 3 * DAY, "crew": row, "is_pinned": True}
    order(org, n=1, **fixed)
    wished = order(org, n=2)
    kept = asked(org)
    kept.save()
    RoundPin.objects.create(round=kept, order=wished, on=MONDAY + 2 * DAY)
    given = gather_round(kept, at=AT)
    assert [(o.pinned_on, o.pinned_to) for o in given.problem.orders] == [
        (MONDAY + 3 * DAY, "crew A"), (MONDAY + 2 * DAY, None),
    ]  # fmt: skip


def test_table_of_driving_times_stands_in_place_of_positions():
    org = keeper()
    crew(org)
    order(org, site={"name": "Far", "lon": None, "lat": None})
    table = [["yard", "far", 11], ["Far", "Yard", 13.5]]
    given = gather_round(asked(org, travel=TravelTable.of(table)), at=AT)
    travel = given.problem.travel
    assert (travel.between("yard", "Far"), travel.between("Far", "yard")) == (11, 14)
    with pytest.raises(RoundError, match="no time from “Far” to “yard”"):
        gather_round(asked(org, travel=TravelTable.of([*table[:1], ["Far", "x", 1]])), at=AT)


def test_places_of_one_name_are_told_apart():
    org = keeper()
    crew(org)
    first, second = (order(org, n=n, site={"name": "Park"}) for n in range(2))
    names = {o.place for o in gather_round(asked(org), at=AT).problem.orders}
    assert names == {f"Park (site {row.pavement.site_id})" for row in (first, second)}


def test_same_rows_give_the_same_digest_at_any_instant_and_others_another():
    org = keeper()
    row = crew(org)
    order(org)
    digest = gather_round(asked(org), at=AT).digest
    assert gather_round(asked(org), at=AT + timedelta(hours=1)).digest == digest
    row.people = 3
    row.save(update_fields=["people"])
    assert gather_round(asked(org), at=AT).digest != digest


def test_same_seed_and_iterations_give_the_same_plan():
    org = keeper()
    crew(org)
    for n in range(8):
        order(org, n=n)
    assert solved(org, seed=3).plan == solved(org, seed=3).plan


def test_sites_of_another_local_time_are_planned_apart():
    org = keeper()
    crew(org)
    order(org, n=1)
    order(org, n=2, site={"time_zone": "America/Chicago"})
    assert local_times_of(org, at=AT) == ["America/Chicago", "America/New_York"]
    assert set(gather_round(asked(org), at=AT).orders) == {"W-1"}


@pytest.mark.parametrize("more", [2, 6])
def test_gathering_asks_as_often_for_any_number_of_orders(django_assert_num_queries, more):
    org = keeper()
    crew(org)
    for n in range(more):
        order(org, n=n)
    with django_assert_num_queries(12):
        gather_round(asked(org), at=AT)


def test_debris_counts_as_at_the_last_cleaning_measured():
    org = keeper()
    crew(org)
    hopper(org)
    assert Cleaning.objects.count() == 1
    assert gather_round(asked(org), at=AT).problem.orders[0].debris_l == 1100
