"""The season in figures: risk with and without dated orders, crew-days, cost, one more day."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from registry.actions.invent_portfolio import invent_portfolio
from registry.actions.refresh_outlooks import refresh_outlooks
from registry.gathering.season_chances import PlannedSweep, season_chances
from registry.gathering.season_plan import gather_season_plan
from registry.gathering.season_round import minutes_of_order
from registry.gathering.season_words import season_cells, season_facts
from registry.models import Outlook, Price
from registry.models.choices import Role
from registry.units import System
from tests import factories

pytestmark = pytest.mark.django_db
MONTHS = 4
MOST_QUESTIONS = 9
"""Who asks is three more, and a page has 12."""


@pytest.fixture
def today():
    return timezone.now().date()


@pytest.fixture
def owner(today):
    found = invent_portfolio(pavements=12, seed=5, as_of=today)
    list(refresh_outlooks(as_of=today))
    return found


def decided(owner):
    return Outlook.objects.filter(why_not="", pavement__seats__organisation=owner).order_by(
        "-worst_p_below", "pk"
    )


def order_at(owner, outlook, **fields):
    given = {"pavement": outlook.pavement, "organisation": owner, "method": "wash_and_vacuum"}
    return factories.WorkOrderFactory(**{**given, "area_m2": 500.0, "passes": 1, **fields})


def dated_at(owner, outlook, day, **fields):
    return order_at(owner, outlook, state="dated", dated_for=day, **fields)


def machine_of(owner):
    return factories.MachineFactory(
        organisation=owner, methods=["wash_and_vacuum"], head_width_m=1.2, speed_km_h=1.0,
        efficiency=0.5,
    )  # fmt: skip


def plan_of(owner, today):
    return gather_season_plan(owner, today=today, months=MONTHS)


def test_without_orders_both_sums_are_those_of_the_outlooks(owner, today):
    found = plan_of(owner, today)
    first = found.months[0].risk
    assert first.without_plan == first.with_plan
    assert found.pavements == 12 and found.decided == decided(owner).count() > 5
    # the outlook's own chances are of today; a month's end is later, and no chance falls
    today_sum = sum(outlook.worst_p_below for outlook in decided(owner))
    assert first.without_plan >= today_sum - 1e-9
    later = [month.risk.without_plan for month in found.months]
    assert later == sorted(later)


def test_chances_of_today_are_those_stored_with_the_outlooks(owner, today):
    stored = {o.pavement_id: o.worst_p_below for o in decided(owner)}
    found = season_chances(set(stored), [], [today], today=today)
    assert {pk: c.not_cleaned[0] for pk, c in found.items()} == pytest.approx(stored)


def test_dated_order_spares_its_pavement_from_its_day_on(owner, today):
    worst = decided(owner).exclude(worst_p_below__gt=0.999).first()
    day = (today.replace(day=1) + timedelta(days=75)).replace(day=5)
    dated_at(owner, worst, day)
    found = plan_of(owner, today)
    gains = [m.risk.without_plan - m.risk.with_plan for m in found.months]
    nth = next(n for n, m in enumerate(found.months) if m.risk.first_on == day.replace(day=1))
    assert gains[:nth] == pytest.approx([0.0] * nth)
    assert all(gain > 0 for gain in gains[nth:])
    assert found.spared == pytest.approx(sum(gains)) and found.dated == 1


def test_two_orders_of_one_pavement_count_it_once(owner, today):
    worst = decided(owner).first()
    bare = plan_of(owner, today)
    for days in (1, 2):
        dated_at(owner, worst, today + timedelta(days=days))
    found = plan_of(owner, today)
    assert found.months[0].risk.without_plan == pytest.approx(bare.months[0].risk.without_plan)


def test_row_that_is_not_swept_keeps_its_spots_chance(owner, today):
    spot = next(
        o.pavement.spots.get(pk=s["spot"])
        for o in decided(owner)
        for s in o.spots
        if o.worst_place == s["name"]
    )
    swept, other = (factories.PanelFactory(pavement=spot.pavement, name=n) for n in ("Z8", "Z9"))
    spot.panel = other
    spot.save(update_fields=["panel"])
    given = {"pavement": spot.pavement_id, "on": today, "method_class": "wash_and_vacuum"}
    day = today + timedelta(days=20)

    def chance(*panels):
        sweep = PlannedSweep(**given, panels=frozenset(panels))
        found = season_chances({spot.pavement_id}, [sweep], [day], today=today)
        return found[spot.pavement_id]

    missed = chance(swept.pk)
    assert missed.cleaned[0] == pytest.approx(missed.not_cleaned[0])
    assert chance(other.pk).cleaned[0] < missed.not_cleaned[0]


def test_crew_days_area_and_cost_by_month(owner, today):
    first, second, third = decided(owner)[:3]
    crew = factories.CrewFactory(organisation=owner, machine=machine_of(owner))
    Price.objects.create(
        organisation=owner,
        method_class="wash_and_vacuum",
        per_m2=Decimal("2"),
        at_least=100,
        currency="$",
    )
    day = today
    dated_at(owner, first, day, crew=crew, price_agreed=Decimal("700"))
    dated_at(owner, second, day, crew=crew)  # 500 m2 at 2: 1000
    dated_at(owner, third, day, crew=crew, area_m2=None, method="drain_flushed", covers_all=False)
    month = plan_of(owner, today).months[0]
    assert (month.risk.crew_days, month.orders, month.unpriced) == (1, 3, 1)
    assert month.cost == Decimal("1700.00") and month.area_m2 == pytest.approx(1000.0)


def test_of_an_order_done_in_part_what_is_left_is_planned(owner, today):
    outlook = decided(owner).exclude(worst_p_below__gt=0.999).first()
    machine_of(owner)
    Price.objects.create(
        organisation=owner, method_class="wash_and_vacuum", per_m2=Decimal(2), currency="$"
    )
    order = dated_at(owner, outlook, today, area_m2=None, covers_all=False)
    sides = {"width_m": 5.0, "length_m": 10.0}
    done, left = (
        factories.PanelFactory(pavement=outlook.pavement, name=name, **sides)
        for name in ("Z8", "Z9")
    )
    for panel in (done, left):
        order.panels.create(panel=panel)
    before = plan_of(owner, today).months[0]
    assert (before.area_m2, before.cost) == (pytest.approx(100), Decimal(200))
    part = factories.CleaningFactory(
        pavement=outlook.pavement, work_order=order, state="in_part", missed_why="cars",
        done_on=today - timedelta(days=1), method=order.method,
    )  # fmt: skip
    part.panels.create(panel=done)
    part.panels.create(panel=left, is_missed=True, why="cars")
    after = plan_of(owner, today).months[0]
    assert (after.area_m2, after.cost) == (pytest.approx(50), Decimal(100))
    # 50 m2 / (1.2 m x 1000 m/h x 0.5) is 5 min, the whole was 10
    assert minutes_of_order(order, [machine_of(owner)], [left]) == 5
    assert minutes_of_order(order, [machine_of(owner)]) == 10


def test_gain_is_planned_where_rows_are_left_alone(owner, today):
    spot = next(
        o.pavement.spots.get(pk=s["spot"])
        for o in decided(owner).exclude(worst_p_below__gt=0.999)
        for s in o.spots
        if o.worst_place == s["name"]
    )
    done, left = (factories.PanelFactory(pavement=spot.pavement, name=n) for n in ("Z8", "Z9"))
    spot.panel = done
    spot.save(update_fields=["panel"])
    order = dated_at(owner, Outlook.objects.get(pavement=spot.pavement), today, covers_all=False)
    for panel in (done, left):
        order.panels.create(panel=panel)
    assert plan_of(owner, today).spared > 0
    part = factories.CleaningFactory(
        pavement=spot.pavement, work_order=order, state="in_part", missed_why="cars",
        done_on=today - timedelta(days=1), method="drain_flushed",
    )  # fmt: skip
    part.panels.create(panel=done)
    assert plan_of(owner, today).spared == pytest.approx(0)


def test_one_more_crew_day_is_filled_with_orders_that_have_no_day(owner, today):
    machine = machine_of(owner)
    crew = factories.CrewFactory(organisation=owner, machine=machine)
    rows = list(decided(owner).exclude(worst_p_below__gt=0.999)[:3])
    dated_at(owner, rows[0], today, crew=crew)
    bare = plan_of(owner, today)
    assert bare.months[0].risk.one_more_avoids is None
    order_at(owner, rows[1], state="approved")
    found = plan_of(owner, today)
    assert found.months[0].risk.one_more_avoids > 0 and found.not_dated == 1
    # 500 m2 / (1.2 m x 1000 m/h x 0.5) = 0.833 h fills the one crew-day: no second such order fits
    with_two = found.months[0].risk.one_more_avoids
    order_at(owner, rows[2], state="approved", passes=2)
    assert plan_of(owner, today).months[0].risk.one_more_avoids == pytest.approx(with_two)


def test_order_whose_time_is_not_known_is_counted_and_not_guessed(owner, today):
    crew = factories.CrewFactory(organisation=owner, machine=machine_of(owner))
    rows = list(decided(owner)[:2])
    dated_at(owner, rows[0], today, crew=crew)
    order_at(owner, rows[1], state="approved", passes=None)
    found = plan_of(owner, today)
    assert found.no_time == 1 and found.months[0].risk.one_more_avoids is None
    assert any("time on site of 1 open order is not known" in f for f in season_facts(found))


def more_words(found):
    return {row[-1] for row in season_cells(found, System.SI)}, " ".join(season_facts(found))


def test_manager_without_a_machine_has_the_risk_and_is_told_what_one_more_day_lacks(owner, today):
    rows = list(decided(owner).exclude(worst_p_below__gt=0.999)[:2])
    dated_at(owner, rows[0], today)
    order_at(owner, rows[1], state="approved")
    found = plan_of(owner, today)
    assert found.spared > 0  # with and without the plan: no machine is needed for it
    cells, facts = more_words(found)
    assert cells == {"not decided"}
    assert "head width" in facts and "needs no machine" in facts


def test_without_an_order_left_or_a_day_to_go_by_the_season_says_which(owner, today):
    rows = list(decided(owner).exclude(worst_p_below__gt=0.999)[:2])
    machine_of(owner)
    order_at(owner, rows[1], state="approved")
    assert "by those the length of a crew-day is told" in more_words(plan_of(owner, today))[1]
    order_at(owner, rows[1], state="dated", dated_for=today)
    cells, facts = more_words(plan_of(owner, today))
    assert cells == {"no order left"} and "has a dated one too" in facts
    owner.work_orders.filter(state="approved").delete()
    assert "No open order is without a day" in more_words(plan_of(owner, today))[1]


def test_order_at_a_pavement_without_a_chance_leaves_one_more_day_open(owner, today):
    machine_of(owner)
    rows = decided(owner).exclude(worst_p_below__gt=0.999)
    dated_at(owner, rows[0], today)
    bare = factories.SeatFactory(organisation=owner, role=Role.OWNER).pavement
    factories.WorkOrderFactory(
        pavement=bare, organisation=owner, method="wash_and_vacuum", area_m2=500.0, passes=1,
        state="approved",
    )  # fmt: skip
    cells, facts = more_words(plan_of(owner, today))
    assert cells == {"not decided"} and "with a chance by the fit" in facts


def test_pavements_of_others_and_void_orders_are_in_no_figure(owner, today):
    other = factories.OrganisationFactory()
    worst = decided(owner).first()
    dated_at(owner, worst, today, void_at=timezone.now(), void_why="twice")
    factories.WorkOrderFactory(
        pavement=worst.pavement, organisation=other, state="dated", dated_for=today
    )
    assert plan_of(owner, today).dated == 0
    assert gather_season_plan(other, today=today, months=3).pavements == 0


def test_months_run_over_the_end_of_a_year(owner):
    found = gather_season_plan(owner, today=date(2027, 11, 30), months=4)
    assert [f"{m.risk.first_on}" for m in found.months] == [
        "2027-11-01", "2027-12-01", "2028-01-01", "2028-02-01",
    ]  # fmt: skip


def test_words_are_in_the_readers_units(owner, today):
    dated_at(owner, decided(owner).first(), today, area_m2=1000 * 0.3048**2)
    found = plan_of(owner, today)
    assert season_cells(found, System.INCH_POUND)[0][4] == "1000 ft²"
    assert season_cells(found, System.SI)[0][4] == "93 m²"


def test_queries_do_not_grow_with_orders(owner, today):
    rows = list(decided(owner))

    def asked():
        with CaptureQueriesContext(connection) as found:
            plan_of(owner, today)
        return len(found)

    dated_at(owner, rows[0], today)
    before = asked()
    for row in rows:
        dated_at(owner, row, today)
        order_at(owner, row)
    assert asked() == before <= MOST_QUESTIONS


def test_price_from_the_beginning_gives_way_to_one_with_a_day(owner, today):
    for from_on, per_m2 in ((today - timedelta(days=9), 2), (None, 1)):
        Price.objects.create(
            organisation=owner, method_class="wash_and_vacuum", per_m2=per_m2, currency="USD",
            from_on=from_on,
        )  # fmt: skip
    dated_at(owner, decided(owner)[0], today)
    assert plan_of(owner, today).months[0].cost == Decimal(1000)
