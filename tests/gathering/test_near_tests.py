"""A neighbour that may be too near is found wherever the squares are cut."""

from datetime import date
from math import hypot

import numpy as np

from registry.gathering.near_tests import REACH_M, NearTests
from registry.models import InfiltrationTest, Spot


def made_at(places):
    return [
        InfiltrationTest(
            spot=Spot(pk=n, name=f"S{n}", right_m=right, up_m=up), started_on=date(2026, 6, 1)
        )
        for n, (right, up) in enumerate(places)
    ]


def test_every_test_within_reach_is_among_those_looked_at():
    rng = np.random.default_rng(5)
    rows = made_at(rng.uniform(-6, 6, size=(300, 2)).round(2).tolist())
    near = NearTests(rows)
    pairs = 0
    for row in rows:
        here = row.spot
        looked_at = {other.spot.pk for other in near.around(here.right_m, here.up_m)}
        for other in rows:
            if hypot(other.spot.right_m - here.right_m, other.spot.up_m - here.up_m) <= REACH_M:
                assert other.spot.pk in looked_at
                pairs += other is not row
    assert pairs > 1000
    assert len(looked_at) < len(rows) / 4, "far ones are passed over"


def test_spot_without_a_place_is_near_nothing():
    near = NearTests(made_at([(0.5, 0.5), (None, None), (None, 0.5)]))
    assert [row.spot.name for row in near.around(0.5, 0.5)] == ["S0"]
