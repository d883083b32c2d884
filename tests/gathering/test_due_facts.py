"""Rows of the record -> what is due: method, days, permit, gain, the six rules. Rates in mm/h."""

from datetime import date, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from registry.actions.refresh_dues import refresh_dues
from registry.models import Due, Fit, Outlook, Pool
from registry.models.choices import Role
from registry.units import Kind, System, from_si
from tests import factories
from tests.placing_factories import CoreFactory

pytestmark = pytest.mark.django_db
TODAY = date(2026, 6, 10)
"""In the summer of the calendar of the house: a wash is sensible now."""
AS_BUILT, ACTION = 5000.0, 254.0


@pytest.fixture
def lot():
    row = factories.PavementFactory(placed_on=date(2015, 5, 1))
    factories.CriteriaFactory(pavement=row, action_rate_mm_h=ACTION)
    return row


@pytest.fixture
def keeper(lot):
    return factories.SeatFactory(pavement=lot, role=Role.MANAGER).organisation


def due_at(lot, today=TODAY):
    refresh_dues([lot.pk], today=today)
    return Due.objects.get(pavement=lot)


def measured(spot, on, mm_h, **fields):
    """A usable test with its result as the judging of readings would store it."""
    constant = 126_870.0
    value = from_si(mm_h, Kind.RATE, System.INCH_POUND)
    return factories.InfiltrationTestFactory(
        pavement=spot.pavement,
        spot=spot,
        started_on=on,
        rain_within_24_h="no",
        result_value=value,
        result_constant=constant,
        result_rate_mm_h=mm_h,
        **fields,
    )


def cleaned(lot, on, method="wash_and_vacuum", **fields):
    restorative = method in ("wash_and_vacuum", "wash_then_vacuum", "joint_stone")
    given = {"passes": 2, "is_restorative": restorative, **fields}
    return factories.CleaningFactory(pavement=lot, done_on=on, method=method, **given)


def foretold(lot, **fields):
    given = {
        "as_of_on": TODAY, "worked_out_at": "2026-06-10T12:00Z", "p_below": 0.04,
        "worst_p_below": 0.04, "sweep_by_on": date(2026, 9, 1), **fields,
    }  # fmt: skip
    return Outlook.objects.create(pavement=lot, **given)


def rule(due, number, system="si"):
    return next(a for a in due.enough[system] if a["rule"] == number)


def test_pavement_of_which_nothing_is_known_says_why_in_place_of_each_number(lot):
    due = due_at(lot)
    assert (due.method, due.latest_on, due.earliest_on, due.gain_median) == ("", None, None, None)
    assert "What lies on the surface is not written" in due.no_method
    assert "no outlook was worked out yet" in " ".join(due.not_decided)
    assert due.no_longer_enough is None
    assert "price" not in " ".join(due.not_decided).replace("priced", "")


@pytest.mark.parametrize("state", ["planned", "closed", "removed", "split"])
def test_only_pavements_in_service_have_a_line(lot, state):
    due_at(lot)
    type(lot).objects.filter(pk=lot.pk).update(state=state)
    assert refresh_dues([lot.pk], today=TODAY) == 0
    assert not Due.objects.exists()


@pytest.mark.parametrize(
    ("make", "method", "why"),
    [
        (lambda lot: factories.DefectFactory(pavement=lot, kind="clogged"), "wash_and_vacuum",
         "pores shut"),
        (lambda lot: factories.DefectFactory(pavement=lot, kind="growth"), "moss_brushed", "moss"),
        (lambda lot: factories.DirtSourceFactory(pavement=lot, brings="sand"), "vacuum", "sand"),
        (lambda lot: factories.DirtSourceFactory(pavement=lot, brings="leaf"), "broom", "leaves"),
    ],
)  # fmt: skip
def test_method_follows_from_open_defects_and_open_sources_of_dirt(lot, make, method, why):
    make(lot)
    due = due_at(lot)
    assert due.method == method
    assert why in due.method_why


def test_closed_defects_and_stopped_sources_propose_nothing(lot):
    factories.DefectFactory(pavement=lot, kind="clogged", state="closed")
    factories.DirtSourceFactory(pavement=lot, brings="sand", stopped_on=TODAY)
    assert due_at(lot).method == ""


def test_pavers_whose_pores_are_shut_get_their_joint_stone_exchanged(lot):
    type(lot).objects.filter(pk=lot.pk).update(surface="permeable_pavers")
    factories.DefectFactory(pavement=lot, kind="clogged")
    assert due_at(lot).method == "joint_stone"


@pytest.mark.parametrize(("after", "method"), [(125.0, "wash_and_vacuum"), (140.0, "vacuum")])
def test_gain_of_the_last_dry_vacuum_decides_on_either_side_of_1_3(lot, after, method):
    spot = factories.SpotFactory(pavement=lot)
    measured(spot, date(2026, 5, 1), 100.0)
    cleaned(lot, date(2026, 5, 4), "vacuum", surface="dry")
    measured(spot, date(2026, 5, 8), after)
    assert due_at(lot).method == method


@pytest.mark.parametrize("surface", ["damp", ""])
def test_vacuum_of_which_dry_is_not_written_decides_nothing(lot, surface):
    spot = factories.SpotFactory(pavement=lot)
    measured(spot, date(2026, 5, 1), 100.0)
    cleaned(lot, date(2026, 5, 4), "vacuum", surface=surface)
    measured(spot, date(2026, 5, 8), 110.0)
    assert due_at(lot).method == ""


def test_gain_before_the_last_wash_says_nothing_of_today(lot):
    spot = factories.SpotFactory(pavement=lot)
    measured(spot, date(2025, 5, 1), 100.0)
    cleaned(lot, date(2025, 5, 4), "vacuum", surface="dry")
    measured(spot, date(2025, 5, 8), 110.0)
    cleaned(lot, date(2025, 7, 1))
    assert due_at(lot).method == ""


def test_axle_limit_of_the_site_puts_work_on_foot_in_place_of_the_truck(lot, keeper):
    factories.DirtSourceFactory(pavement=lot, brings="sand")
    factories.MachineFactory(organisation=keeper, methods=["vacuum"], axle_kg=5200.0)
    type(lot.site).objects.update(heaviest_axle_kg=1360.0)
    due = due_at(lot)
    assert due.method == "walk_behind_vacuum"
    assert "5200 kg" in due.method_why and "lb" in due.method_why


def test_latest_day_is_that_of_the_fit_with_its_place(lot):
    foretold(lot, sweep_by_place="U", worst_place="U")
    due = due_at(lot)
    assert (due.latest_on, due.latest_by) == (date(2026, 9, 1), "fit")
    assert "at U to lie below the action level reaches 10 %" in due.reason


def test_outlook_without_numbers_gives_its_reason(lot):
    foretold(lot, p_below=None, worst_p_below=None, sweep_by_on=None, why_not="Not decided: old.")
    due = due_at(lot)
    assert due.latest_on is None
    assert "Not decided: old." in due.not_decided


def test_permit_counts_beside_the_fit_and_the_earlier_day_wins(lot):
    foretold(lot, sweep_by_on=date(2027, 5, 1))
    factories.PermitMinimumFactory(pavement=lot)
    cleaned(lot, date(2026, 3, 20), "vacuum")
    due = due_at(lot)
    (count,) = due.permits
    assert (count["done"], count["asked"]) == (1, 2)
    assert (due.latest_on, due.latest_by) == (date(2026, 12, 31), "permit")
    assert due.is_permit_short


def test_turned_away_a_flushed_drain_and_a_cleaning_too_soon_do_not_count(lot):
    factories.PermitMinimumFactory(pavement=lot)
    cleaned(lot, date(2026, 3, 20), "vacuum")
    cleaned(lot, date(2026, 4, 1), "vacuum")
    cleaned(lot, date(2026, 5, 20), "drain_flushed")
    cleaned(lot, date(2026, 5, 25), "vacuum", state="turned_away", why_not="cars")
    (count,) = due_at(lot).permits
    assert count["done"] == 1
    assert count["not_counted"] == [["2026-05-25", "turned away: no cleaning"]]


def test_minimum_that_names_methods_counts_those_alone(lot):
    factories.PermitMinimumFactory(pavement=lot, methods=["wash_and_vacuum"])
    cleaned(lot, date(2026, 3, 20), "vacuum")
    assert due_at(lot).permits[0]["done"] == 0


@pytest.mark.parametrize(("span", "count"), [({"to_on": TODAY}, 0), ({"from_on": TODAY}, 1)])
def test_minimum_counts_from_its_first_day_and_not_on_its_last(lot, span, count):
    factories.PermitMinimumFactory(pavement=lot, **span)
    assert len(due_at(lot).permits) == count


def test_rows_that_a_permit_counts_less_are_the_ones_to_do(lot):
    panels = [factories.PanelFactory(pavement=lot, name=name) for name in ("A1", "A2", "B1", "B2")]
    factories.PermitMinimumFactory(pavement=lot, times=1)
    part = cleaned(lot, date(2026, 3, 20), "vacuum", covers_all=False)
    for panel in panels[:2]:
        part.panels.create(panel=panel)
    due = due_at(lot)
    assert due.permits[0]["done"] == 0
    assert due.rows_text == "B"
    assert due.area_m2 == pytest.approx(2 * 3.048 * 4.572)


def test_wash_goes_over_the_rows_of_the_spots_that_fall_due(lot):
    panels = [factories.PanelFactory(pavement=lot, name=name) for name in ("A1", "A2", "B1", "B2")]
    spot = factories.SpotFactory(pavement=lot, name="U", panel=panels[0])
    factories.DefectFactory(pavement=lot, kind="clogged")
    due_then = {"spot": spot.pk, "name": "U", "own_sweep_by_on": "2026-09-01", "why_not": ""}
    later = {**due_then, "spot": 0, "name": "M", "own_sweep_by_on": "2028-01-01"}
    foretold(lot, sweep_by_place="U", worst_place="U", spots=[due_then, later])
    assert due_at(lot).rows_text == "A"
    Outlook.objects.update(sweep_by_place="", worst_place="")
    assert due_at(lot).rows_text == ""


def test_expected_gain_of_the_method_lies_within_its_interval(lot):
    pool = Pool.objects.create(organisation=factories.OrganisationFactory(), name="p", is_own=False)
    names = [
        "mu_a", "mu_k", "sd_a", "sd_k", "corr", "tau_a", "tau_k", "sigma", "broom",
        "regenerative_air", "vacuum", "wash_and_vacuum", "run_on_edge", "heavy_trees",
        "winter_sand", "bare_soil_run_on",
    ]  # fmt: skip
    scalars = dict.fromkeys(names[:8], 0.5)
    shares = {"broom": 0.05, "regenerative_air": 0.2, "vacuum": 0.3, "wash_and_vacuum": 0.6}
    drivers = dict.fromkeys(names[12:], 0.0)
    rows = [[0.09 * (i == j) for j in range(16)] for i in range(16)]
    fit = Fit.objects.create(
        pool=pool, as_of_on=TODAY, input_digest="0", code_version="1", converged=True,
        parameters={**scalars, "recovery": shares, "drivers": drivers},
        covariance={"names": names, "rows": rows},
    )  # fmt: skip
    factories.DirtSourceFactory(pavement=lot, brings="sand")
    foretold(lot, fit=fit, slope_per_yr=0.3, sd_slope_per_yr=0.03, effective_age_yr=5.0)
    due = due_at(lot)
    # exp(r V k) = exp(0.3 x 5 x 0.3), the median of both spreads.
    assert due.gain_median == pytest.approx(1.568, abs=0.01)
    assert 1 < due.gain_low < due.gain_median < due.gain_high
    assert due.fit == fit
    rows[10][10] = 0.0  # a recovery that was given: how sure is not known
    Fit._base_manager.update(covariance={"names": names, "rows": rows})
    assert "no fit says what this method takes away" in due_at(lot).no_gain


@pytest.mark.parametrize(
    ("on", "earliest", "words"),
    [
        (date(2026, 6, 10), date(2026, 6, 10), "summer"),
        (date(2026, 10, 10), date(2027, 6, 1), "summer"),
        (date(2026, 12, 10), date(2027, 6, 1), "frost"),
    ],
)
def test_earliest_day_of_a_wash_follows_the_calendar_of_the_house(lot, on, earliest, words):
    factories.DefectFactory(pavement=lot, kind="clogged")
    due = due_at(lot, on)
    assert due.earliest_on == earliest
    assert words in due.earliest_why
    assert due.season_last_on == date(earliest.year, 9, 30)


def test_latest_before_earliest_is_told_as_a_conflict_and_moves_neither(lot):
    factories.DefectFactory(pavement=lot, kind="clogged")
    foretold(lot, sweep_by_on=date(2026, 11, 1))
    due = due_at(lot, date(2026, 10, 10))
    assert (due.earliest_on, due.latest_on) == (date(2027, 6, 1), date(2026, 11, 1))
    assert "not sensible before 2027-06-01" in due.conflict


def test_dated_leaf_fall_lets_a_full_vacuum_in(lot, keeper):
    factories.DirtSourceFactory(pavement=lot, brings="sand")
    on = date(2026, 11, 12)
    before = due_at(lot, on).earliest_on
    factories.SeasonDayFactory(organisation=keeper, fact="leaf_down", on=date(2026, 11, 15))
    after = due_at(lot, on).earliest_on
    assert before == on  # without a dated day the calendar's own holds: from 1 November
    assert after == date(2026, 11, 16)


def test_keepers_own_calendar_takes_the_place_of_that_of_the_house(lot, keeper):
    factories.DirtSourceFactory(pavement=lot, brings="sand")
    factories.SeasonFactory(
        organisation=keeper, methods=["vacuum"], name="dry weeks", from_month=8, from_day=1,
        to_month=8, to_day=20,
    )  # fmt: skip
    due = due_at(lot)
    assert (due.earliest_on, due.season_last_on) == (date(2026, 8, 1), date(2026, 8, 20))
    assert "dry weeks" in due.earliest_why


@pytest.mark.parametrize(
    ("climate", "earliest", "words"),
    [
        ("", None, "has several climates, and the site names none"),
        ("Coast", date(2026, 7, 1), "mild"),
        ("hills", date(2026, 8, 1), "dry weeks"),
        ("desert", None, "No season of the calendar is for the climate of the site, “desert”"),
    ],
)
def test_site_says_by_which_climate_its_seasons_are_read(lot, keeper, climate, earliest, words):
    factories.DirtSourceFactory(pavement=lot, brings="sand")
    for name, of, month in (("dry weeks", "hills", 8), ("mild", "coast", 7)):
        factories.SeasonFactory(
            organisation=keeper, methods=["vacuum"], name=name, climate=of, from_month=month,
            from_day=1, to_month=month, to_day=20,
        )  # fmt: skip
    type(lot.site).objects.update(climate=climate)
    due = due_at(lot)
    assert due.earliest_on == earliest
    assert words in due.earliest_why


@pytest.mark.parametrize(
    ("winter_sand", "swept_on", "by"),
    [
        ("yes", None, date(2026, 5, 22)),
        ("yes", date(2026, 5, 3), None),
        ("no", None, None),
        ("", None, None),
    ],
)
def test_last_sand_asks_for_a_sweep_within_3_weeks_where_it_is_sanded(
    lot, keeper, winter_sand, swept_on, by
):
    type(lot).objects.filter(pk=lot.pk).update(winter_sand=winter_sand)
    factories.SeasonDayFactory(organisation=keeper, on=date(2026, 5, 1))
    if swept_on:
        cleaned(lot, swept_on, "vacuum")
    due = due_at(lot)
    assert (due.latest_on, due.latest_by) == (by, "sand" if by else "")


def test_rule_1_below_right_after_the_best_method_in_both_systems(lot):
    spot = factories.SpotFactory(pavement=lot, name="L")
    cleaned(lot, date(2026, 5, 1))
    measured(spot, date(2026, 5, 6), 120.0)
    due = due_at(lot)
    assert due.no_longer_enough
    assert rule(due, 1)["holds"]
    assert "L 120 mm/h on 2026-05-06" in rule(due, 1)["words"]
    assert "L 4.7 in/h on 2026-05-06" in rule(due, 1, "inch_pound")["words"]


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"passes": 1}, "two passes are not written"),
        ({"method": "wash_then_vacuum", "passes": None}, "two passes are not written"),
    ],
)
def test_rule_1_is_open_without_two_passes(lot, changed, words):
    spot = factories.SpotFactory(pavement=lot)
    cleaned(lot, date(2026, 5, 1), **changed)
    measured(spot, date(2026, 5, 6), 120.0)
    assert rule(due_at(lot), 1)["holds"] is None
    assert words in rule(due_at(lot), 1)["words"]


def test_rule_2_back_below_within_six_months_twice(lot):
    spot = factories.SpotFactory(pavement=lot)
    for year in (2024, 2025):
        cleaned(lot, date(year, 6, 1))
        measured(spot, date(year, 6, 8), 500.0)
        measured(spot, date(year, 10, 1), 120.0)
    due = due_at(lot)
    assert rule(due, 2)["holds"]
    assert "2024-06-01, below again 2024-10-01" in rule(due, 2)["words"]


def test_rule_2_does_not_count_what_came_back_only_after_six_months(lot):
    spot = factories.SpotFactory(pavement=lot)
    for year in (2024, 2025):
        cleaned(lot, date(year, 6, 1))
        measured(spot, date(year, 6, 8), 500.0)
        measured(spot, date(year, 12, 2), 400.0)
        measured(spot, date(year + 1, 4, 1), 120.0)
    assert rule(due_at(lot), 2)["holds"] is False


def test_rule_3_regained_under_a_quarter_twice(lot):
    spot = factories.SpotFactory(pavement=lot)
    measured(spot, date(2015, 6, 1), AS_BUILT, reason="acceptance")
    for year in (2024, 2025):
        measured(spot, date(year, 5, 25), 120.0)
        cleaned(lot, date(year, 6, 1))
        measured(spot, date(year, 6, 8), 600.0)
    due = due_at(lot)
    assert rule(due, 3)["holds"]
    # (600 - 120) / (5000 - 120) = 9.8 %
    assert "10 % on 2024-06-01" in rule(due, 3)["words"]


def test_rule_4_names_the_core_that_decides_and_none_out_of_a_panel_replaced_since(lot):
    factories.PanelFactory(pavement=lot, name="B2", placed_on=date(2025, 8, 1))
    drilled = {"pavement": lot, "taken_on": date(2025, 2, 1)}
    CoreFactory(**drilled, number="K1", panel="A1", fines_mm=12.0, bottom_closed="no")
    CoreFactory(**drilled, number="K2", panel="B2", fines_mm=76.2, bottom_closed="yes")
    told = rule(due_at(lot), 4)
    assert told["holds"] is False
    assert told["words"] == (
        "Cores: 1, the last of 2025-02-01; fines deepest in core K1, 12.0 mm; no bottom closed."
    )
    CoreFactory(**drilled, number="K3", panel="A1", fines_mm=30.0, bottom_closed="nk")
    due = due_at(lot)
    assert due.no_longer_enough
    assert rule(due, 4)["words"] == "Core K3: fines 30.0 mm deep, over 25.4 mm."
    assert rule(due, 4, "inch_pound")["words"] == "Core K3: fines 1.18 in deep, over 1.00 in."


@pytest.mark.parametrize(
    ("told", "words"),
    [
        ({"fines_mm": 5.0}, "Whether paste closes the bottom is not told of core K1."),
        ({"bottom_closed": "no"}, "Depth of fines is not told of core K1."),
    ],
)
def test_rule_4_says_what_of_a_core_is_not_told(lot, told, words):
    CoreFactory(pavement=lot, number="K1", **told)
    assert (rule(due_at(lot), 4)["holds"], rule(due_at(lot), 4)["words"]) == (None, words)


def test_rules_without_rows_say_what_is_missing(lot):
    due = due_at(lot)
    assert {rule(due, n)["missing"] for n in (4, 5, 6)} == {
        "core", "width of the clogged strip", "acceptance tests by load",
    }  # fmt: skip


def test_keepers_cheapest_method_that_holds_is_proposed_and_no_price_is_told(lot, keeper):
    foretold(
        lot,
        by_method=[
            {"method": name, "interval_yr": years, "interval_is_longer": False, "no_interval": ""}
            for name, years in (("vacuum", 2.0), ("wash_and_vacuum", 5.0))
        ],
    )
    for name, per_m2 in (("vacuum", "3.1"), ("wash_and_vacuum", "7.7")):
        keeper.prices.create(method_class=name, per_m2=per_m2, currency="$")
    due = due_at(lot)
    # 100 m2: 310 every 2 years, 770 every 5 years.
    assert due.method == "wash_and_vacuum"
    told = " ".join(str(getattr(due, f.name)) for f in Due._meta.concrete_fields)
    assert "770" not in told and "310" not in told


def test_many_pavements_are_asked_as_few_questions_as_two(keeper):
    def ask(count):
        lots = [factories.PavementFactory() for _ in range(count)]
        for row in lots:
            factories.SeatFactory(pavement=row, organisation=keeper, role=Role.MANAGER)
            spot = factories.SpotFactory(pavement=row, panel=factories.PanelFactory(pavement=row))
            measured(spot, date(2026, 5, 1), 300.0)
            cleaned(row, TODAY - timedelta(days=9)).panels.create(panel=spot.panel)
            factories.PermitMinimumFactory(pavement=row)
            factories.DirtSourceFactory(pavement=row)
            foretold(row)
        with CaptureQueriesContext(connection) as asked:
            assert refresh_dues([row.pk for row in lots], today=TODAY) == count
        return len(asked)

    few = ask(2)
    assert ask(22) == few
