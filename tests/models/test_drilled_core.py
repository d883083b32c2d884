"""A core has a length, a density and a share of chloride that can be."""

import pytest

from tests.models.refusals import VOID, refused
from tests.placing_factories import CoreFactory

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "make", "fields"),
    [
        ("core_void_has_reason", CoreFactory, VOID),
        ("core_has_a_length", CoreFactory, {"length_mm": 0}),
        ("core_has_a_density", CoreFactory, {"density_kg_m3": 0}),
        ("core_fines_not_below_0", CoreFactory, {"fines_mm": -1}),
        ("core_fines_within_length", CoreFactory, {"length_mm": 150, "fines_mm": 151}),
        ("core_chloride_0_to_100", CoreFactory, {"chloride_percent": 101}),
    ],
)
def test_what_cannot_be_is_refused(rule, make, fields):
    refused(rule, make, **fields)
