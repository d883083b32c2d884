"""A machine has measures that a machine can have, and a name of its own in its organisation."""

import pytest

from registry.models import Machine
from tests.factories import MachineFactory
from tests.models.refusals import AT, VOID, refused

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "fields"),
    [
        ("machine_void_has_reason", VOID),
        ("machine_measures_are_positive", {"head_width_m": 0}),
        ("machine_measures_are_positive", {"axle_kg": -1}),
        ("machine_efficiency_is_a_share", {"efficiency": 1.01}),
    ],
)
def test_what_cannot_be_is_refused(rule, fields):
    refused(rule, MachineFactory, **fields)


def test_name_is_used_again_only_after_its_machine_is_void():
    old = MachineFactory(name="V1")
    again = {"name": "V1", "organisation": old.organisation}
    refused("machine_name_once_in_an_organisation", MachineFactory, **again)
    Machine.objects.update(void_at=AT, void_why="sold")
    MachineFactory(**again)


def test_methods_are_said_in_the_words_of_the_trade():
    row = MachineFactory(methods=["vacuum", "wash_and_vacuum"])
    assert row.methods_in_words == "full vacuum sweeper, pressure wash and vacuum in one pass"
