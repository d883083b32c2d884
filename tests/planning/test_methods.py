"""Every method has its class; the words of the record and these are the same."""

import pytest

from registry.models.cleaning import CLASS_OF, CleaningMethod
from registry.models.cleaning import RESTORATIVE as STORED_RESTORATIVE
from registry.planning.methods import (
    COLLECT_WATER,
    FLAT_ANGLE,
    METHOD_CLASS,
    NO_WIRE_BROOM,
    RESTORATIVE,
    Method,
    SurfaceKind,
    cautions_of,
    why_not_on,
)


def test_the_methods_are_those_of_the_record():
    assert {method.value for method in Method} == set(CleaningMethod.values)
    assert {method.value: name for method, name in METHOD_CLASS.items()} == CLASS_OF
    assert {method.value for method in RESTORATIVE} == STORED_RESTORATIVE


@pytest.mark.parametrize("method", [Method.WASH_AND_VACUUM, Method.WASH_THEN_VACUUM])
def test_a_wash_says_flat_angle_test_patch_and_stop(method):
    cautions = cautions_of(method, SurfaceKind.PERVIOUS_CONCRETE)
    assert FLAT_ANGLE in cautions
    assert COLLECT_WATER in cautions


def test_no_wire_broom_on_pervious_concrete_alone():
    assert NO_WIRE_BROOM in cautions_of(Method.VACUUM, SurfaceKind.PERVIOUS_CONCRETE)
    assert NO_WIRE_BROOM not in cautions_of(Method.VACUUM, SurfaceKind.PERMEABLE_PAVERS)


def test_joint_stone_needs_joints():
    assert why_not_on(Method.JOINT_STONE, SurfaceKind.PERVIOUS_CONCRETE)
    assert why_not_on(Method.JOINT_STONE, SurfaceKind.PERMEABLE_PAVERS) == ""
