"""A failed fit says why, a converged one has parameters; the newest good one is in force."""

import pytest

from registry.models import Fit, Pool
from tests.factories import OrganisationFactory
from tests.models.refusals import DAY, refused

pytestmark = pytest.mark.django_db


def make(**fields):
    pool = Pool.objects.create(organisation=OrganisationFactory(), name="p")
    given = {"pool": pool, "as_of_on": DAY, "input_digest": "0", "code_version": "1"}
    return Fit.objects.create(**given | fields)


@pytest.mark.parametrize(
    ("rule", "fields"),
    [
        ("fit_that_failed_says_why", {"converged": False}),
        ("converged_fit_has_parameters", {"converged": True}),
    ],
)
def test_half_a_result_is_refused(rule, fields):
    refused(rule, make, **fields)


def test_in_force_is_the_newest_that_converged():
    make(converged=True, parameters={"mu_a": 6.0})
    newer = make(converged=True, parameters={"mu_a": 6.1})
    make(converged=False, message="too few tests")
    assert Fit.objects.current().first() == newer
