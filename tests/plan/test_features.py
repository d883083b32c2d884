"""A thing on a plan has a place, and is there from its first day up to its end."""

from datetime import date

import pytest

from registry.plan.faults import PlanError
from registry.plan.features import Feature, FeatureKind

FIRST, END = date(2023, 1, 1), date(2024, 1, 1)


@pytest.mark.parametrize(
    ("kind", "points", "words"),
    [
        (FeatureKind.DRAIN, (), "north drain needs a place"),
        (FeatureKind.RUN_ON, ((0.0, 0.0),), "from one point to another"),
    ],
)
def test_thing_without_its_points_is_refused(kind, points, words):
    with pytest.raises(PlanError, match=words):
        Feature(kind, "north drain", points)


@pytest.mark.parametrize(
    ("on", "there"),
    [(date(2022, 12, 31), False), (FIRST, True), (date(2023, 12, 31), True), (END, False)],
)
def test_thing_is_there_from_its_first_day_up_to_its_end(on, there):
    drain = Feature(FeatureKind.DRAIN, "d", ((0.0, 0.0),), FIRST, END)
    assert drain.exists_on(on) is there
    assert Feature(FeatureKind.DRAIN, "d", ((0.0, 0.0),)).exists_on(on)
