"""What a keeper sets goes before the house rule, on its days, in what is due and in rounds."""

from datetime import date, timedelta

import pytest

from registry.actions.refresh_dues import refresh_dues
from registry.gathering.round_plan import solve_gathered
from registry.gathering.round_problem import gather_round
from registry.gathering.work_limits import limit_lines, limits_of_keepers, work_limits
from registry.models import Due
from registry.models.choices import Role
from registry.planning.limits import HOUSE_LIMITS, Limit
from registry.planning.rules import Rule
from registry.units import System
from tests import factories
from tests.gathering.rounds import AT, MONDAY, asked, crew, keeper, order

pytestmark = pytest.mark.django_db
DAY = timedelta(days=1)
ON = date(2026, 6, 10)
PERMIT = "Permit 7"


def setting(organisation, name="dry_h", value=48.0, **fields):
    return organisation.rule_settings.create(
        name=name, value=value, source_document=PERMIT, **fields
    )


def test_setting_holds_on_its_days_alone_and_void_ones_are_for_the_caller_to_leave_out():
    org = factories.OrganisationFactory()
    row = setting(org, from_on=ON, to_on=ON + DAY)
    assert work_limits([row], 1, ON).dry_h == Limit(48.0, PERMIT)
    assert work_limits([row], 1, ON - DAY) == HOUSE_LIMITS == work_limits([row], 1, ON + DAY)


def test_what_is_set_for_one_pavement_goes_before_what_is_set_for_all():
    org, lot = factories.OrganisationFactory(), factories.PavementFactory()
    rows = [setting(org, value=36.0, pavement=lot), setting(org, value=48.0, from_on=ON)]
    assert work_limits(rows, lot.pk, ON).dry_h.value == 36.0
    assert work_limits(rows, lot.pk + 1, ON).dry_h.value == 48.0
    assert limits_of_keepers([[], rows], lot.pk, ON).dry_h.value == 36.0
    assert limits_of_keepers([], lot.pk, ON) == HOUSE_LIMITS


def test_threshold_of_another_kind_is_no_limit_of_the_work():
    org = factories.OrganisationFactory()
    assert work_limits([setting(org, "watch_factor", 3.0)], 1, ON) == HOUSE_LIMITS


def test_list_tells_the_house_rule_and_what_is_set_in_the_readers_units():
    row = setting(factories.OrganisationFactory(), "lowest_wash_c", 5.0)
    told = {
        system: [(line.value, line.source) for line in limit_lines([row], system)]
        for system in System
    }
    assert ("40.0 °F", "house rule") in told[System.INCH_POUND]
    assert ("41.0 °F", PERMIT) in told[System.INCH_POUND]
    assert ("4.4 °C", "house rule") in told[System.SI] and ("5.0 °C", PERMIT) in told[System.SI]


def test_sand_and_placing_are_held_to_what_the_keeper_sets():
    lot = factories.PavementFactory(placed_on=date(2026, 5, 1), winter_sand="yes")
    factories.CriteriaFactory(pavement=lot)
    org = factories.SeatFactory(pavement=lot, role=Role.MANAGER).organisation
    factories.DefectFactory(pavement=lot, kind="clogged")
    factories.SeasonDayFactory(organisation=org, fact="last_sand", on=date(2026, 6, 1))

    def due():
        refresh_dues([lot.pk], today=ON)
        return Due.objects.get(pavement=lot)

    house = due()
    assert (house.earliest_on, house.latest_on) == (ON, date(2026, 6, 22))
    assert "within 3 weeks of the last sand" in house.latest_why
    setting(org, "after_sand_days", 10.0)
    setting(org, "wash_after_placing_days", 60.0)
    own = due()
    assert own.latest_on == date(2026, 6, 11)
    assert "within 10 days of the last sand by “Permit 7”" in own.latest_why
    assert own.earliest_on == date(2026, 6, 30)
    assert "no wash within 60 days of placing, 2026-05-01 by “Permit 7”" in own.earliest_why


@pytest.mark.parametrize(
    ("name", "value", "method", "weather", "rule"),
    [
        ("lowest_wash_c", 10.0, "wash_and_vacuum", [False, 8.0], Rule.TEMPERATURE),
        ("frost_c", 8.0, "wash_and_vacuum", [False, 8.0], Rule.TEMPERATURE),
        ("dry_h", 336.0, "vacuum", None, Rule.DRY_SURFACE),
    ],
)
def test_round_is_held_to_what_the_keeper_sets_and_keeps_it_in_words(
    name, value, method, weather, rule
):
    org = keeper()
    crew(org, machine={"keeps_wash_water": True})
    order(org, method=method)
    foretold = [[(MONDAY + n * DAY).isoformat(), *weather] for n in range(8)] if weather else []
    foretold = foretold or [[(MONDAY - DAY).isoformat(), True, None, "06:00"]]

    def solved():
        row = asked(org, weather=foretold)
        return solve_gathered(row, gather_round(row, at=AT), clock=lambda: 0.0)

    bare = solved()
    assert (bare.plan.left_out, bare.given.notes) == ((), ())
    setting(org, name, value)
    held = solved()
    assert [left.breach.rule for left in held.plan.left_out] == [rule]
    assert "by “Permit 7”" in " ".join(held.given.notes)
    assert held.given.digest != bare.given.digest


def test_no_dry_day_for_the_after_test_is_looked_for_beyond_what_is_set():
    org = keeper()
    crew(org, machine={"keeps_wash_water": True})
    order(org, method="wash_and_vacuum", after_test_due_on=MONDAY)
    setting(org, "after_test_days", 5.0)
    (needed,) = gather_round(asked(org), at=AT).problem.orders
    assert needed.needs.after_test_within_days == 5
