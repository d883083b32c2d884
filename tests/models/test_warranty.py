"""A warranty runs 1 to 30 years, and its limits are counted once a step."""

import pytest

from registry.models import Warranty, WarrantyMove
from tests.models.refusals import DAY, VOID, refused
from tests.placing_factories import (
    AnswerLimitFactory,
    WarrantyCoverFactory,
    WarrantyFactory,
    WarrantyPartFactory,
)

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "make", "fields"),
    [
        ("warranty_void_has_reason", WarrantyFactory, VOID),
        ("warranty_runs_1_to_30_years", WarrantyFactory, {"years": 0}),
        ("warranty_runs_1_to_30_years", WarrantyFactory, {"years": 31}),
        ("warranty_transfer_by_notice_has_days", WarrantyFactory, {"transfer_rule": "by_notice"}),
        ("warranty_part_void_has_reason", WarrantyPartFactory, VOID),
        ("warranty_part_runs_1_to_30_years", WarrantyPartFactory, {"years": 0}),
        ("warranty_cover_void_has_reason", WarrantyCoverFactory, VOID),
        ("warranty_cover_raveled_0_to_100", WarrantyCoverFactory, {"raveled_over_percent": 101}),
        ("answer_limit_void_has_reason", AnswerLimitFactory, VOID),
        ("answer_limit_within_ten_years", AnswerLimitFactory, {"days": 3651}),
    ],
)
def test_what_cannot_be_is_refused(rule, make, fields):
    refused(rule, make, **fields)


def test_one_step_has_one_limit():
    old = AnswerLimitFactory()
    refused("answer_limit_once_a_step", AnswerLimitFactory, warranty=old.warranty)


def test_move_back_says_why():
    given = {"warranty": WarrantyFactory(), "to_state": "running", "on": DAY, "is_back": True}
    refused("warranty_move_back_says_why", WarrantyMove.objects.create, **given)
    WarrantyMove.objects.create(**given, why="ended by mistake")


def test_running_are_those_that_cover():
    running = WarrantyFactory(state="part_renewed")
    WarrantyFactory(state="ended")
    assert list(Warranty.objects.running()) == [running]
