"""Whatever an outlook rests on is corrected, and the outlook is another in the same transaction."""

from datetime import date, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from registry.actions.add_entry import add_entry
from registry.actions.correct_cleaning import Named, correct_cleaning
from registry.actions.correct_entry import correct_entry
from registry.actions.end_entry import end_entry
from registry.actions.invent_portfolio import invent_portfolio
from registry.actions.record_cleaning import record_cleaning
from registry.actions.refresh_outlooks import refresh_outlook_of, refresh_outlooks
from registry.actions.set_criteria import correct_criteria
from registry.actions.split_pavement import Part, split_pavement
from registry.actions.void_entry import void_entry
from registry.models import Fit, InfiltrationTest, Outlook, Pavement, RunOnArea, Stratum
from registry.models.entry import Change
from tests import factories

pytestmark = pytest.mark.django_db
MOST_QUERIES = 20  # DEVELOPERS.md, "How a fit flows"
NOBODY = {"by": None, "organisation": None}


@pytest.fixture
def lot():
    """A tested pavement of 500 m2, 50 of them run-on edge; its action level is twice what the
    design asks: 2 x 60 x (1 + 0.9 x 1000 / 500) = 336 mm/h."""
    today = timezone.now().date()
    owner = invent_portfolio(pavements=12, seed=5, as_of=today)
    row = Pavement.objects.filter(infiltration_tests__isnull=False).order_by("pk").first()
    Pavement.objects.filter(pk=row.pk).update(area_m2=500.0)
    row.criteria.all().delete()
    row.spots.update(stratum="run_on_edge")
    factories.CriteriaFactory(
        pavement=row, action_rate_mm_h=None, action_rate_is_given=False, intensity_mm_h=60.0
    )
    RunOnArea.objects.create(
        pavement=row, name="roof", kind="roof", area_m2=1000.0, runoff_coefficient=0.9
    )
    factories.StratumFactory(pavement=row, kind="run_on_edge", area_m2=50.0)
    list(refresh_outlooks(as_of=today))
    row.refresh_from_db()
    assert owner is not None
    assert outlook(row).action_rate_mm_h == pytest.approx(336.0)
    return row


def outlook(lot):
    return Outlook.objects.get(pavement=lot)


def correct(row, **changes):
    put = {name: Change(value, str(value)) for name, value in changes.items()}
    return correct_entry(row, changes=put, why="read again", **NOBODY)


def test_area_of_a_stratum_changes_the_share_of_the_whole(lot):
    before = outlook(lot)
    edge, away = before.edge_share_below, before.share_below
    assert before.whole_share_below == pytest.approx(0.1 * edge + 0.9 * away)
    correct(Stratum.objects.get(), area_m2=250.0)
    after = outlook(lot)
    assert edge > away
    assert after.whole_share_below == pytest.approx(0.5 * edge + 0.5 * away)
    assert (after.edge_share_below, after.share_below) == (edge, away)


def test_stratum_made_void_and_drawn_again_changes_the_share_and_back(lot):
    first = outlook(lot).whole_share_below
    void_entry(Stratum.objects.get(), why="drawn wrongly", **NOBODY)
    gone = outlook(lot)
    assert gone.whole_share_below is None
    assert "area of the run-on edge is not known" in gone.whole_share_why_not
    add_entry(Stratum(pavement=lot, kind="run_on_edge", area_m2=50.0), **NOBODY)
    assert (outlook(lot).whole_share_below, outlook(lot).whole_share_why_not) == (first, "")


def test_area_of_the_pavement_changes_action_level_and_shares(lot):
    correct(lot, area_m2=1000.0)
    after = outlook(lot)
    # 2 x 60 x (1 + 0.9 x 1000 / 1000) = 228, under the floor of 254 mm/h
    assert after.action_rate_mm_h == pytest.approx(254.0)
    wanted = 0.05 * after.edge_share_below + 0.95 * after.share_below
    assert after.whole_share_below == pytest.approx(wanted)


def test_run_on_area_changes_the_action_level_and_all_that_hangs_on_it(lot):
    before = outlook(lot)
    correct(RunOnArea.objects.get(), area_m2=3000.0)
    after = outlook(lot)
    assert after.action_rate_mm_h == pytest.approx(2 * 60 * (1 + 0.9 * 6))
    assert after.p_below > before.p_below
    assert after.share_below > before.share_below
    assert after.rate_mm_h == before.rate_mm_h


def test_run_on_area_of_unknown_size_leaves_the_outlook_not_decided_with_its_reason(lot):
    correct(RunOnArea.objects.get(), area_m2=None)
    after = outlook(lot)
    assert (after.p_below, after.share_below, after.sweep_by_on) == (None, None, None)
    assert "action level" in after.why_not
    assert after.rate_mm_h is not None


def test_panels_of_a_cleaning_put_right_change_what_its_spots_are_foretold(lot):
    """Missed, the surface at the spots clogged on, and has to be swept earlier."""
    panel = factories.PanelFactory(pavement=lot)
    lot.spots.update(panel=panel)
    on = timezone.now().date() - timedelta(days=20)
    cleaning = factories.CleaningFactory.build(pavement=lot, done_on=on, covers_all=False)
    record_cleaning(cleaning, covered=[panel], **NOBODY)
    before = outlook(lot)
    named = Named(missed={panel: "parked cars"})
    correct_cleaning(cleaning, changes={}, named=named, why="the sheet says so", **NOBODY)
    after = outlook(lot)
    assert after.sweep_by_on < before.sweep_by_on
    assert after.spots[0]["rate_mm_h"] < before.spots[0]["rate_mm_h"]


def test_criteria_corrected_and_ended_change_the_outlook(lot):
    row = lot.criteria.get()
    change = {"intensity_mm_h": Change(120.0, "120")}
    correct_criteria(row, changes=change, why="read again", **NOBODY)
    assert outlook(lot).action_rate_mm_h == pytest.approx(672.0)
    end_entry(row, on=date(2020, 1, 1), why="withdrawn", **NOBODY)
    assert outlook(lot).action_rate_mm_h is None
    assert "action level" in outlook(lot).why_not


def test_stratum_of_a_spot_changes_the_driver_of_that_spot(lot):
    spot = lot.spots.filter(infiltration_tests__isnull=False).first()
    before = {s["spot"]: s["slope_per_yr"] for s in outlook(lot).spots}
    correct(spot, stratum="field")
    after = {s["spot"]: s["slope_per_yr"] for s in outlook(lot).spots}
    assert after[spot.pk] != before[spot.pk]


def test_run_that_turns_out_void_no_longer_counts(lot):
    before = outlook(lot)
    runs = lot.infiltration_tests.filter(void_at__isnull=True)
    void_entry(runs.order_by("started_on").last(), why="wrong lot", **NOBODY)
    assert outlook(lot).rate_mm_h != before.rate_mm_h


def test_split_pavement_is_foretold_by_its_parts_from_that_moment(lot):
    today = timezone.now().date()
    parts = (Part("north", frozenset(), 300.0), Part("south", frozenset(), 200.0))
    made = split_pavement(pavement=lot, parts=parts, on=today, why="sold in part", **NOBODY)
    whole = outlook(lot)
    assert (whole.p_below, whole.sweep_by_on, whole.rate_mm_h) == (None, None, None)
    assert "its parts have outlooks of their own" in whole.why_not
    for part in made:
        assert "action level" in outlook(part).why_not
        assert outlook(part).rate_mm_h is not None


def test_no_correction_makes_a_new_fit_or_touches_another_pavement(lot):
    others = Outlook.objects.exclude(pavement=lot).order_by("pk")
    before = list(others.values_list("pk", "worked_out_at"))
    correct(Stratum.objects.get(), area_m2=250.0)
    assert list(others.values_list("pk", "worked_out_at")) == before
    assert Fit.objects.count() == 1


def test_one_outlook_asks_few_questions_however_many_tests(lot):
    today = timezone.now().date()
    with CaptureQueriesContext(connection) as few:
        refresh_outlook_of(lot, as_of=today)
    spot = lot.spots.first()
    for day in range(1, 21):
        factories.InfiltrationTestFactory(
            pavement=lot,
            spot=spot,
            started_on=date(2024, 5, day),
            result_rate_mm_h=900.0,
        )
        factories.StratumFactory(pavement=factories.PavementFactory(), area_m2=5.0)
    assert InfiltrationTest.objects.filter(spot=spot).count() > 20
    with CaptureQueriesContext(connection) as many:
        refresh_outlook_of(lot, as_of=today)
    assert len(many) == len(few) <= MOST_QUERIES
