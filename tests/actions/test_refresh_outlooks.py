"""From rows to outlooks: the reference portfolio, pools, and single readings."""

import json
from datetime import date
from io import StringIO
from pathlib import Path

import numpy as np
import pytest
from django.core.management import call_command

from registry.actions import refresh_outlooks as refreshing
from registry.actions.fit_pool import fit_pool
from registry.actions.join_pool import CannotJoinPool, join_pool
from registry.actions.record_infiltration_test import record_infiltration_test
from registry.actions.refresh_outlooks import refresh_outlook_of, refresh_outlooks
from registry.actions.sort_into_pools import make_own_pools
from registry.decline.outlook import chance_at
from registry.decline.truncated import Joint
from registry.gathering.decline_records import gather_records
from registry.gathering.pools import pool_of, pools_on
from registry.gathering.stored_fit import parameters_of
from registry.models import Due, Fit, InfiltrationTest, Outlook, Pavement, PavementNumber, Pool
from tests import factories

FIXTURES = Path(__file__).parents[2] / "fixtures"
AS_OF = date(2026, 6, 30)


@pytest.fixture(scope="module")
def reference(django_db_setup, django_db_blocker, tmp_path_factory):
    """The reference portfolio brought in by the command, fitted, and written to a file."""
    file = tmp_path_factory.mktemp("outlooks") / "found.json"
    with django_db_blocker.unblock():
        owner = factories.OrganisationFactory(name="Reference owner", usual_role="owner")
        call_command(
            "import_records",
            str(FIXTURES / "portfolio"),
            "--for",
            owner.name,
            stdout=StringIO(),
            stderr=StringIO(),
        )
        call_command(
            "refresh_outlooks", "--as-of", "2026-06-30", "--json", str(file), stdout=StringIO()
        )
        yield json.loads(file.read_text())
        call_command("flush", "--no-input", verbosity=0)


@pytest.fixture(scope="module")
def expected():
    return json.loads((FIXTURES / "portfolio" / "expected.json").read_text())


def places(found, expected):
    """(found, expected) of every pavement and spot; few stopped tests alone decide at 3 days."""
    for ref, wanted in expected["pavements"].items():
        got = found["pavements"][ref]
        yield got, wanted
        for name, point in wanted["points"].items():
            yield got["points"][name], point


@pytest.mark.slow
def test_likelihood_and_parameters_equal_the_dense_solution(reference, expected):
    # worked out by dense matrices and exact truncated normals, fixtures/portfolio/expected.json
    assert reference["log_likelihood"] == pytest.approx(expected["log_likelihood"], abs=0.5)
    for name in ("mu_a", "mu_k", "tau_a", "sigma"):
        assert reference["parameters"][name] == pytest.approx(
            expected["parameters"][name], rel=0.01
        )
    for group in ("recovery", "drivers"):
        for name, wanted in expected["parameters"][group].items():
            assert reference["parameters"][group][name] == pytest.approx(
                wanted, rel=0.03, abs=0.005
            )


@pytest.mark.slow
def test_rates_chances_and_days_equal_the_dense_solution(reference, expected):
    for got, wanted in places(reference, expected):
        assert got["rate"] == pytest.approx(wanted["rate"], rel=0.01)
        assert got["p_below"] == pytest.approx(wanted["p_below"], abs=0.005)
        if wanted["sweep_by"] is None:
            assert got["sweep_by"] is None
        else:
            days = np.datetime64(got["sweep_by"]) - np.datetime64(wanted["sweep_by"])
            assert abs(int(days.astype(int))) <= 3
    assert reference["pavements"].keys() == expected["pavements"].keys()


def run_of(spot, day, rate_in_h, **fields):
    given = {
        "pavement": spot.pavement,
        "spot": spot,
        "method": "c1701",
        "started_on": day,
        "system": "inch_pound",
        "ring": 12.0,
        "water": 40.0,
        "prewet_seconds": 10,
        "prewet_water": 8.0,
        "seconds": 126870 * 40 / (144 * rate_in_h),
        "ended": "drained",
        "rain_within_24_h": "no",
        "stratum": spot.stratum,
    }
    return InfiltrationTest(**(given | fields))


def portfolio_of(owner, count, *, first=0):
    """So many pavements of an owner with a spot and three tests each."""
    made = []
    for n in range(first, first + count):
        row = factories.PavementFactory(placed_on=date(2020, 1 + n % 12, 1), name=f"Lot {n}")
        factories.SeatFactory(pavement=row, organisation=owner)
        factories.CriteriaFactory(pavement=row)
        spot = factories.SpotFactory(pavement=row, name="U", stratum="run_on_edge")
        for years, share in ((1, 0.8), (2, 0.6 + 0.02 * (n % 5)), (4, 0.4)):
            record_infiltration_test(
                run_of(spot, date(2020 + years, 6, 1 + n % 20), (400 + 20 * n) * share),
                by=None,
                organisation=owner,
            )
        made.append(row)
    return made


@pytest.fixture
def owner(db):
    return factories.OrganisationFactory()


def test_pavement_is_in_its_owners_own_pool_by_default(owner):
    rows = portfolio_of(owner, 2)
    make_own_pools(on=AS_OF)
    pools = pools_on(AS_OF)
    assert {pool.organisation: ids for pool, ids in pools.items()} == {
        owner: [row.pk for row in rows]
    }
    assert make_own_pools(on=AS_OF) == 0


def test_joining_a_pool_by_consent_moves_the_pavement_from_that_day(owner):
    row = portfolio_of(owner, 1)[0]
    make_own_pools(on=AS_OF)
    town = Pool.objects.create(
        organisation=factories.OrganisationFactory(), name="The town's", is_own=False
    )
    with pytest.raises(CannotJoinPool):
        join_pool(row, town, by_document=" ", from_on=AS_OF, by=None, organisation=None)
    join_pool(
        row,
        town,
        by_document="consent of 2026-06-01",
        from_on=date(2026, 6, 1),
        by=None,
        organisation=None,
    )
    assert pool_of(row, date(2026, 5, 31)).organisation == owner
    assert pool_of(row, date(2026, 6, 1)) == town
    assert pools_on(AS_OF) == {town: [row.pk]}
    with pytest.raises(CannotJoinPool):
        join_pool(row, town, by_document="again", from_on=AS_OF, by=None, organisation=None)


def test_fit_is_made_again_only_when_a_record_changed(owner):
    rows = portfolio_of(owner, 3)
    list(refresh_outlooks(as_of=AS_OF))
    list(refresh_outlooks(as_of=AS_OF))
    assert Fit.objects.count() == 1
    spot = rows[0].spots.get()
    record_infiltration_test(run_of(spot, date(2025, 6, 1), 90), by=None, organisation=owner)
    list(refresh_outlooks(as_of=AS_OF))
    assert Fit.objects.count() == 2


def stamps(kind):
    return dict(kind.objects.values_list("pavement_id", "worked_out_at"))


def test_what_came_out_alike_is_not_written_again(owner):
    rows = portfolio_of(owner, 3)
    list(refresh_outlooks(as_of=AS_OF))
    outlooks, dues = stamps(Outlook), stamps(Due)
    list(refresh_outlooks(as_of=AS_OF))
    assert (stamps(Outlook), stamps(Due)) == (outlooks, dues)
    changed = rows[1].pk
    Outlook.objects.filter(pavement=changed).update(p_below=0.0)
    list(refresh_outlooks(as_of=AS_OF))
    for before, after in ((outlooks, stamps(Outlook)), (dues, stamps(Due))):
        assert {pk for pk, at in after.items() if at != before[pk]} == {changed}


def test_what_is_due_is_worked_out_where_it_lags_behind_though_the_outlook_came_out_alike(owner):
    missing, behind, stale, sound = (row.pk for row in portfolio_of(owner, 4))
    list(refresh_outlooks(as_of=AS_OF))
    before = stamps(Due)
    Due.objects.filter(pavement=missing).delete()
    Due.objects.filter(pavement=behind).update(worked_out_at="2020-01-01T00:00Z")
    Due.objects.filter(pavement=stale).update(as_of_on=AS_OF.replace(year=2020))
    list(refresh_outlooks(as_of=AS_OF))
    after = stamps(Due)
    assert {pk for pk, at in after.items() if at != before[pk]} == {missing, behind, stale}
    assert after[sound] == before[sound]


@pytest.mark.parametrize("step", ["_work_out", "_store", "refresh_dues_behind"])
def test_what_a_killed_worker_left_undone_the_next_one_does(owner, monkeypatch, step):
    rows = portfolio_of(owner, 3)

    def killed(*given, **more):
        raise SystemExit("killed")

    with monkeypatch.context() as during:
        during.setattr(refreshing, step, killed)
        with pytest.raises(SystemExit):
            list(refresh_outlooks(as_of=AS_OF))
    assert Outlook.objects.count() == (3 if step == "refresh_dues_behind" else 0), "none half done"
    list(refresh_outlooks(as_of=AS_OF))
    assert Fit.objects.count() == 1, "the fit was stored, so it is not made again"
    assert Outlook.objects.filter(why_not="").count() == 3
    dues = Due.objects.filter(pavement__in=rows).values_list("fit", "pavement__outlook__fit")
    assert [fit for fit, _ in dues] == [fit for _, fit in dues] != []


def test_reading_that_comes_in_while_a_pool_is_fitted_stays_in_its_outlook(owner, monkeypatch):
    rows = portfolio_of(owner, 3)
    today = date.today()  # noqa: DTZ011 (the action asks the clock too)
    list(refresh_outlooks(as_of=today))
    real = refreshing.fit_pool

    def fitted(*given, **more):
        fit = real(*given, **more)
        monkeypatch.setattr(refreshing, "fit_pool", real)
        spot = rows[0].spots.get()
        record_infiltration_test(run_of(spot, date(2026, 5, 1), 20), by=None, organisation=owner)
        return fit

    monkeypatch.setattr(refreshing, "fit_pool", fitted)
    list(refresh_outlooks(as_of=today, force=True))
    found = Outlook.objects.get(pavement=rows[0])
    assert found.spots[0]["infiltration_tests"] == 4
    assert found.fit == Fit.objects.current().first()


def test_new_reading_changes_its_own_outlook_at_once_and_no_other(owner):
    rows = portfolio_of(owner, 3)
    list(refresh_outlooks(as_of=date.today()))  # noqa: DTZ011 (the action asks the clock too)
    before = {o.pavement_id: o.rate_mm_h for o in Outlook.objects.all()}
    spot = rows[0].spots.get()
    record_infiltration_test(run_of(spot, date(2026, 5, 1), 20), by=None, organisation=owner)
    after = {o.pavement_id: o.rate_mm_h for o in Outlook.objects.all()}
    assert after[rows[0].pk] < 0.7 * before[rows[0].pk]
    assert {pk: r for pk, r in after.items() if pk != rows[0].pk} == {
        pk: r for pk, r in before.items() if pk != rows[0].pk
    }
    assert Fit.objects.count() == 1, "no refit"


def test_unknown_criteria_and_placing_date_are_not_decided_and_say_why(owner):
    rows = portfolio_of(owner, 3)
    rows[0].criteria.get().delete()
    Pavement.objects.filter(pk=rows[1].pk).update(placed_on=None)
    list(refresh_outlooks(as_of=AS_OF))
    unknown, ageless, decided = (Outlook.objects.get(pavement=row) for row in rows)
    assert (unknown.p_below, unknown.sweep_by_on) == (None, None)
    assert "action level" in unknown.why_not
    assert unknown.rate_mm_h > 0
    assert "placing date" in ageless.why_not
    assert decided.why_not == ""
    assert 0 <= decided.p_below <= 1


def test_pool_without_a_test_says_that_there_is_nothing_to_fit(owner):
    row = factories.PavementFactory(placed_on=date(2020, 1, 1))
    factories.SeatFactory(pavement=row, organisation=owner)
    pool = next(refresh_outlooks(as_of=AS_OF))
    assert not pool.fit.converged
    assert "nothing to fit" in pool.fit.message
    why = Outlook.objects.get(pavement=row).why_not
    assert "no fit" in why.lower() and "nothing to fit" in why


def test_failed_fit_is_kept_and_the_last_good_one_stays_in_force(owner):
    rows = portfolio_of(owner, 3)
    good = next(refresh_outlooks(as_of=AS_OF)).fit
    InfiltrationTest.objects.update(use="looked_at")
    pool = next(refresh_outlooks(as_of=AS_OF))
    assert (pool.fit.converged, pool.used) == (False, good)
    refresh_outlook_of(rows[0], as_of=AS_OF)
    assert Outlook.objects.get(pavement=rows[0]).fit == good


def test_replaced_concrete_lives_its_own_life(owner):
    row = portfolio_of(owner, 3)[0]
    old = row.spots.get()
    new = factories.SpotFactory(
        pavement=row, name="U new", stratum="run_on_edge", concrete_placed_on=date(2025, 8, 20)
    )
    type(old).objects.filter(pk=old.pk).update(ended_on=date(2025, 8, 20), ended_why="replaced")
    record_infiltration_test(run_of(new, date(2025, 9, 23), 510), by=None, organisation=owner)
    list(refresh_outlooks(as_of=AS_OF))
    spots = {s["name"]: s for s in Outlook.objects.get(pavement=row).spots}
    assert set(spots) == {"U new"}, "an ended spot decides nothing"
    assert spots["U new"]["effective_age_yr"] < 1


def test_new_panels_say_nothing_of_old_concrete_without_a_placing_date(owner):
    row = portfolio_of(owner, 3)[0]
    Pavement.objects.filter(pk=row.pk).update(placed_on=None)
    new = factories.SpotFactory(
        pavement=row, name="A7", stratum="run_on_edge", concrete_placed_on=date(2025, 8, 20)
    )
    record_infiltration_test(run_of(new, date(2025, 9, 23), 510), by=None, organisation=owner)
    list(refresh_outlooks(as_of=AS_OF))
    outlook = Outlook.objects.get(pavement=row)
    assert "placing date of most of this pavement is not known" in outlook.why_not
    assert (outlook.p_below, outlook.rate_mm_h, outlook.share_below) == (None, None, None)
    assert [s["name"] for s in outlook.spots] == ["A7"]
    assert outlook.spots[0]["p_below"] < 0.5
    assert (outlook.worst_p_below, outlook.worst_place) == (outlook.spots[0]["p_below"], "A7")


def test_chance_of_the_worst_place_is_kept_with_its_name(owner):
    row = portfolio_of(owner, 3)[0]
    poor = factories.SpotFactory(pavement=row, name="B2", stratum="run_on_edge")
    for year, rate in ((2021, 30), (2023, 12)):
        record_infiltration_test(run_of(poor, date(year, 6, 9), rate), by=None, organisation=owner)
    list(refresh_outlooks(as_of=AS_OF))
    outlook = Outlook.objects.get(pavement=row)
    chances = {s["name"]: s["p_below"] for s in outlook.spots}
    assert set(chances) == {"U", "B2"}
    assert chances["B2"] > outlook.p_below
    assert (outlook.worst_p_below, outlook.worst_place) == (chances["B2"], "B2")


def test_after_a_cleaning_too_the_worst_place_decides_until_when_it_lasts(owner):
    row = portfolio_of(owner, 3)[0]
    poor = factories.SpotFactory(pavement=row, name="B2", stratum="run_on_edge")
    for year, rate in ((2021, 30), (2023, 12)):
        record_infiltration_test(run_of(poor, date(year, 6, 9), rate), by=None, organisation=owner)
    list(refresh_outlooks(as_of=AS_OF))
    outlook = Outlook.objects.get(pavement=row)
    one = next(s for s in outlook.spots if s["name"] == "B2")
    joint = Joint(*(np.array([one[name]]) for name in ("intercept", "slope_per_yr")), *(
        np.array([value]) for value in (one["sd_intercept"] ** 2, 0.0, one["sd_slope_per_yr"] ** 2)
    ))  # fmt: skip
    age = np.array([one["effective_age_yr"]]) * (1 - parameters_of(outlook.fit).recovery[0])
    # Far above the risk of 10 %, whatever a and k have in common: due at once, though swept.
    assert chance_at(joint, age, np.log([254.0]))[0] > 0.3
    broom = outlook.by_method[0]
    assert broom["p_below"] < outlook.risk, "the surface as a whole would not be due"
    assert broom["sweep_by_on"] == AS_OF.isoformat()


def test_surface_as_a_whole_decides_where_no_spot_is_worse(owner):
    rows = portfolio_of(owner, 3)
    list(refresh_outlooks(as_of=AS_OF))
    found = [o for o in Outlook.objects.filter(pavement__in=rows) if o.worst_place == ""]
    assert found, "the surface as a whole is the worst place of at least one of these"
    for outlook in found:
        assert outlook.worst_p_below == outlook.p_below
        assert all(s["p_below"] <= outlook.p_below for s in outlook.spots)


def test_refs_that_collide_carry_their_organisation(owner, tmp_path):
    other = factories.OrganisationFactory()
    for holder in (owner, other):
        row = portfolio_of(holder, 1)[0]
        PavementNumber.objects.create(pavement=row, organisation=holder, number="P1")
    file = tmp_path / "o.json"
    call_command(
        "refresh_outlooks", "--as-of", "2026-06-30", "--json", str(file), stdout=StringIO()
    )
    found = json.loads(file.read_text())
    assert set(found["pavements"]) == {f"{owner.name}/P1", f"{other.name}/P1"}
    assert set(found["pools"]) == {f"{owner.name}, own pavements", f"{other.name}, own pavements"}


def test_later_day_never_gives_an_earlier_date(owner):
    row = portfolio_of(owner, 3)[0]
    days = []
    for as_of in (date(2026, 1, 1), date(2026, 6, 30), date(2027, 1, 1)):
        list(refresh_outlooks(as_of=as_of))
        days.append(Outlook.objects.get(pavement=row).sweep_by_on)
    assert days == sorted(days)


def test_order_of_rows_changes_no_number(owner):
    rows = portfolio_of(owner, 4)
    make_own_pools(on=AS_OF)
    pool = Pool.objects.get()
    ids = [r.pk for r in rows]
    first = fit_pool(pool, gather_records(ids, on=AS_OF), as_of=AS_OF)
    turned = gather_records(reversed(ids), on=AS_OF)
    again = fit_pool(pool, turned, as_of=AS_OF, force=True)
    assert first.parameters == again.parameters
