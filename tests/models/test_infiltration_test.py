"""No run is stored whose readings no ring test gives, nor a bound that lost its sign."""

import pytest

from registry.models import InfiltrationTest
from tests.factories import InfiltrationTestFactory
from tests.models.refusals import AT, VOID, refused

POSITIVE = "infiltration_test_readings_are_positive"
POSSIBLE = "infiltration_test_readings_are_possible"
SIGN = "infiltration_test_bound_keeps_its_sign"

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "fields"),
    [
        ("infiltration_test_void_has_reason", VOID),
        (POSITIVE, {"ring": 0.0, **VOID, "void_why": "typed wrongly"}),
        (POSITIVE, {"water": 0.0, **VOID, "void_why": "typed wrongly"}),
        (POSITIVE, {"seconds": -1.0, **VOID, "void_why": "typed wrongly"}),
        (POSITIVE, {"water_left": -1.0, **VOID, "void_why": "typed wrongly"}),
        (POSSIBLE, {"ring": 300.0}),
        (POSSIBLE, {"system": "si", "ring": 12.0}),
        (POSSIBLE, {"seconds": 86401.0}),
        ("infiltration_test_not_done_has_reason", {"state": "not_done"}),
        (SIGN, {"use": "bound"}),
        (SIGN, {"use": "bound", "result_sign": "~"}),
        ("infiltration_test_run_counts_from_one", {"run": 0}),
    ],
)
def test_what_cannot_be_is_refused(rule, fields):
    refused(rule, InfiltrationTestFactory, **fields)


def test_void_run_keeps_what_was_typed_however_impossible():
    InfiltrationTestFactory(ring=300.0, void_at=AT, void_why="read in mm")
    assert InfiltrationTest.objects.get().ring == 300.0


@pytest.mark.parametrize("sign", "<>")
def test_bound_with_its_sign_is_kept(sign):
    InfiltrationTestFactory(use="bound", result_sign=sign)
    assert InfiltrationTest.objects.get().result_sign == sign
