"""A fit is kept also where it found nothing, and made anew only where its records changed."""

from datetime import date

import pytest

from registry.actions import fit_pool as module
from registry.actions.fit_pool import fit_pool
from registry.gathering.decline_records import gather_records
from registry.models import Fit, Pool
from tests.factories import OrganisationFactory, PavementFactory

pytestmark = pytest.mark.django_db
AS_OF = date(2024, 6, 1)


@pytest.fixture
def pool():
    return Pool.objects.create(organisation=OrganisationFactory(), name="own")


def fit(pool, as_of=AS_OF, **more):
    lot = PavementFactory(placed_on=date(2020, 5, 1))
    return fit_pool(pool, gather_records([lot.pk], on=as_of), as_of=as_of, **more)


def test_pool_without_a_test_is_kept_as_a_fit_that_failed_with_its_reason(pool):
    row = fit(pool)
    assert (row.converged, row.parameters, bool(row.message)) == (False, None, True)
    assert (row.pool, row.as_of_on, row.infiltration_tests) == (pool, AS_OF, 0)


def test_day_that_brought_no_record_makes_no_new_fit_unless_asked(pool):
    first = fit(pool)
    assert fit(pool, date(2024, 6, 2)) == first
    assert fit(pool, force=True) != first
    assert Fit.objects.filter(pool=pool).count() == 2


def test_model_that_changed_is_fitted_anew_from_the_same_records(pool):
    first = fit(pool)
    Fit._base_manager.update(code_version="decline 0")
    assert fit(pool) != first


def test_of_two_who_fit_the_same_records_at_once_one_fit_is_stored(pool, monkeypatch):
    rows = gather_records([PavementFactory(placed_on=date(2020, 5, 1)).pk], on=AS_OF)
    real = module.fit_decline

    def another_is_quicker(*given):
        monkeypatch.setattr(module, "fit_decline", real)
        fit_pool(pool, rows, as_of=AS_OF)
        return real(*given)

    monkeypatch.setattr(module, "fit_decline", another_is_quicker)
    assert fit_pool(pool, rows, as_of=AS_OF) == Fit.objects.get()
    monkeypatch.setattr(module, "fit_decline", another_is_quicker)
    fit_pool(pool, rows, as_of=AS_OF, force=True)
    assert Fit.objects.count() == 2, "asked for by a person, it is made anew"
