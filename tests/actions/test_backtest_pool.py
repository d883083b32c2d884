"""A back-test belongs to a fit in force and rests on its very records."""

from datetime import date

import pytest

from registry.actions.backtest_pool import CannotBacktest, backtest_pool
from registry.models import Fit, Pool
from tests.factories import OrganisationFactory, PavementFactory

pytestmark = pytest.mark.django_db
AS_OF = date(2024, 6, 1)


@pytest.fixture
def pool():
    return Pool.objects.create(organisation=OrganisationFactory(), name="own")


def in_force(pool, **fields):
    given = {"as_of_on": AS_OF, "input_digest": "of other records", "code_version": "1"}
    return Fit.objects.create(pool=pool, converged=True, parameters={}, **given, **fields)


def test_pool_without_a_good_fit_has_nothing_to_back_test(pool):
    with pytest.raises(CannotBacktest, match="has converged yet"):
        backtest_pool(pool, [], as_of=AS_OF)


def test_fit_of_other_records_is_not_back_tested(pool):
    fit = in_force(pool)
    with pytest.raises(CannotBacktest, match="Records have changed"):
        backtest_pool(pool, [PavementFactory().pk], as_of=AS_OF)
    fit.refresh_from_db()
    assert fit.back_test is None


def test_back_test_that_is_there_is_kept_unless_forced(pool):
    fit = in_force(pool, back_test={"pavements": 3})
    assert backtest_pool(pool, [], as_of=AS_OF).back_test == {"pavements": 3}
    with pytest.raises(CannotBacktest):
        backtest_pool(pool, [], as_of=AS_OF, force=True)
    fit.refresh_from_db()
    assert fit.back_test == {"pavements": 3}
