"""What lies below a pavement, from and to a day; voids are a share of a layer."""

import pytest

from registry.models import Layer, ObservationWell, Structure
from tests.factories import PavementFactory
from tests.models.refusals import BACKWARD, DAY, DAY_BEFORE, NO_SPAN, VOID, refused

pytestmark = pytest.mark.django_db


def make(**fields):
    return Structure.objects.create(pavement=PavementFactory(), **fields)


@pytest.mark.parametrize(
    ("rule", "fields"),
    [
        ("structure_void_has_reason", VOID),
        ("structure_from_before_to", BACKWARD),
        ("structure_from_before_to", NO_SPAN),
    ],
)
def test_what_cannot_be_is_refused(rule, fields):
    refused(rule, make, **fields)


def test_structure_holds_from_its_first_day_up_to_its_end():
    row = make(from_on=DAY_BEFORE, to_on=DAY)
    assert Structure.objects.on(DAY_BEFORE).get() == row
    assert not Structure.objects.on(DAY).exists()


@pytest.mark.parametrize("ratio", [0, 1, 40])
def test_voids_of_a_layer_are_a_share_of_it(ratio):
    layer = {"structure": make(), "kind": "base", "void_ratio": ratio}
    refused("layer_void_ratio_is_a_share", Layer.objects.create, **layer)


def test_void_well_says_why():
    well = {"pavement": PavementFactory(), "name": "W1"}
    refused("well_void_has_reason", ObservationWell.objects.create, **well, **VOID)
