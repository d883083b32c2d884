"""A failed fit says why, a converged one has parameters; the newest good one is in force."""

import pytest
from django.db import transaction

from registry.models import Fit, Pool
from registry.models.fit import FitIsKept
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


def test_stored_fit_is_given_its_back_test_and_changes_in_nothing_else():
    row = make(converged=True, parameters={"mu_a": 6.0})
    row.back_test, row.parameters = {"numbers": 3}, {"mu_a": 7.0}
    row.save(update_fields=["back_test"])
    for change in (row.save, lambda: row.save(update_fields=["parameters", "back_test"])):
        with pytest.raises(FitIsKept, match="kept as it was stored"):
            change()
    with pytest.raises(FitIsKept, match="parameters cannot change"):
        Fit.objects.filter(pk=row.pk).update(parameters={"mu_a": 7.0})
    with pytest.raises(FitIsKept, match="parameters cannot change"), transaction.atomic():
        Fit.objects.bulk_update([row], ["parameters"])
    with pytest.raises(FitIsKept, match="never deleted"):
        Fit.objects.all().delete()
    Fit.objects.update(back_test={"numbers": 4})
    row.refresh_from_db()
    assert (row.parameters, row.back_test) == ({"mu_a": 6.0}, {"numbers": 4})


def test_in_force_is_the_newest_that_converged():
    make(converged=True, parameters={"mu_a": 6.0})
    newer = make(converged=True, parameters={"mu_a": 6.1})
    make(converged=False, message="too few tests")
    assert Fit.objects.current().first() == newer
