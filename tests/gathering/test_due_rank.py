"""Rows of the record -> the order of sweeping (N26), and that lists stand in it."""

import math
from datetime import date

import pytest
from django.utils import timezone
from hypothesis import given, settings
from hypothesis import strategies as st

from registry.actions.refresh_dues import refresh_dues
from registry.forms.due_filters import DueFilters
from registry.gathering.due_rank import rank_columns
from registry.models import Due, Fit, Outlook, Pool, RunOnArea
from registry.models.choices import Role
from registry.planning.sweep_order import Candidate, sweep_order
from tests import factories

TODAY = date(2026, 10, 10)


def due_at(lot, today=TODAY):
    refresh_dues([lot.pk], today=today)
    return Due.objects.get(pavement=lot)


def a_fit():
    pool = Pool.objects.create(organisation=factories.OrganisationFactory(), name="p", is_own=False)
    return Fit.objects.create(
        pool=pool, as_of_on=TODAY, input_digest="0", code_version="1", converged=True, parameters={}
    )


@pytest.mark.django_db
def test_what_nobody_knows_is_named_and_not_made_up():
    due = due_at(factories.PavementFactory())
    assert (due.is_below, due.months_left, due.reserve, due.run_on_m2) == (None,) * 4
    assert not due.missed_window and not due.is_level_far
    assert due.rank_why == "not decided"
    assert due.rank_open == [
        "whether it is below the action level", "months to the action level", "reserve of width",
        "run-on area served",
    ]  # fmt: skip


@pytest.mark.django_db
def test_run_on_areas_of_the_day_are_summed_and_one_without_an_area_leaves_them_open():
    lot = factories.PavementFactory()
    RunOnArea.objects.create(pavement=lot, area_m2=300.0)
    RunOnArea.objects.create(pavement=lot, area_m2=200.0)
    assert due_at(lot).run_on_m2 == 500.0
    RunOnArea.objects.create(pavement=lot, area_m2=None)
    assert due_at(lot).run_on_m2 is None


@pytest.mark.django_db
@pytest.mark.parametrize("state", ["turned_away", "called_off"])
def test_wash_that_came_to_nothing_in_september_goes_first_until_one_is_done(state):
    lot = factories.PavementFactory(placed_on=date(2015, 5, 1))
    factories.SeatFactory(pavement=lot, role=Role.MANAGER)
    given = {"pavement": lot, "method": "wash_and_vacuum", "passes": 1}
    factories.CleaningFactory(
        done_on=date(2026, 9, 20), state=state, why_not="cars", not_done_by="the manager", **given
    )
    due = due_at(lot)
    assert due.missed_window
    assert due.rank_why.startswith("missed its window before frost")
    factories.CleaningFactory(done_on=date(2026, 9, 28), state="done", **given)
    assert not due_at(lot).missed_window


def ranked_by_the_list(candidates):
    ids = []
    for candidate in candidates:
        row = factories.DueFactory(**rank_columns(candidate))
        ids.append((row.pk, candidate.ref))
    names = dict(ids)
    rows = Due.objects.filter(pk__in=names)
    ordered = DueFilters({"sort": "rank"}, rows, at=timezone.now()).ordered
    return [names[pk] for pk in ordered.values_list("pk", flat=True)]


numbers = st.none() | st.sampled_from([0.0, 3.0, 14.5, math.inf])
found = st.builds(
    Candidate,
    ref=st.just(""),
    is_below=st.sampled_from([True, False, None]),
    months_left=numbers,
    reserve=st.none() | st.sampled_from([-0.2, 0.0, 0.4]),
    run_on_m2=st.none() | st.sampled_from([40.0, 900.0]),
    missed_window_before_frost=st.booleans(),
)


@pytest.mark.django_db
@settings(max_examples=15, deadline=None)
@given(st.lists(found, min_size=2, max_size=8))
def test_list_in_the_order_of_need_stands_as_the_rule_has_it(drawn):
    candidates = [Candidate(**{**vars(c), "ref": f"{n:02}"}) for n, c in enumerate(drawn)]
    assert ranked_by_the_list(candidates) == [r.ref for r in sweep_order(candidates)]


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("sweep_by_on", "why_not", "months", "is_far"),
    [
        (date(2027, 10, 10), "", 12.0, False),
        (date(2026, 9, 1), "", 0.0, False),
        (None, "", None, True),
        (None, "No design criteria are entered for this day.", None, False),
    ],
)
def test_months_run_to_the_day_of_the_fit(sweep_by_on, why_not, months, is_far):
    lot = factories.PavementFactory()
    chance = None if why_not else 0.04
    Outlook.objects.create(
        pavement=lot, fit=a_fit(), as_of_on=TODAY, worked_out_at=timezone.now(),
        sweep_by_on=sweep_by_on, why_not=why_not, p_below=chance, worst_p_below=chance,
    )  # fmt: skip
    due = due_at(lot)
    assert due.is_level_far is is_far
    assert due.months_left == (None if months is None else pytest.approx(months, abs=0.02))
