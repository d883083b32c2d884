"""How much of a surface is its run-on edge, and what is said where nobody knows."""

import pytest

from registry.gathering.decline_tables import DeclineTables
from registry.gathering.surface_parts import (
    EDGE_TOO_LARGE,
    NO_EDGE,
    NO_EDGE_AREA,
    NO_REST_AREA,
    surface_parts,
)
from registry.models import Stratum
from tests import factories

pytestmark = pytest.mark.django_db


def parts_of(area_m2, strata, *, tested=False):
    pavement = factories.PavementFactory(area_m2=area_m2)
    for kind, area in strata.items():
        factories.StratumFactory(pavement=pavement, kind=kind, area_m2=area)
    tested_at_edge = {pavement.pk} if tested else set()
    return surface_parts({pavement.pk: area_m2}, tested_at_edge, strata_of(pavement))[pavement.pk]


def strata_of(pavement):
    return DeclineTables([pavement.pk]).strata()


def test_the_edge_is_so_much_of_the_whole_pavement():
    found = parts_of(500.0, {"run_on_edge": 50.0, "field": 300.0})
    assert (found.has_edge, found.edge_part, found.why_not) == (True, 0.1, "")


def test_without_the_area_of_the_pavement_its_strata_are_summed():
    found = parts_of(None, {"run_on_edge": 50.0, "field": 100.0, "wheel_path": 50.0})
    assert found.edge_part == 0.25


@pytest.mark.parametrize(
    ("area_m2", "strata", "tested", "why_not"),
    [
        (500.0, {"field": 400.0}, False, NO_EDGE),
        (500.0, {"run_on_edge": None}, False, NO_EDGE_AREA),
        (500.0, {"field": 400.0}, True, NO_EDGE_AREA),
        (None, {"run_on_edge": 50.0}, False, NO_REST_AREA),
        (None, {"run_on_edge": 50.0, "field": None}, False, NO_REST_AREA),
        (40.0, {"run_on_edge": 50.0}, False, EDGE_TOO_LARGE),
    ],
)
def test_an_area_nobody_knows_is_not_decided_and_says_which(area_m2, strata, tested, why_not):
    found = parts_of(area_m2, strata, tested=tested)
    assert (found.edge_part, found.why_not) == (None, why_not)
    assert found.has_edge == (why_not != NO_EDGE)


def test_a_void_stratum_is_no_stratum():
    pavement = factories.PavementFactory(area_m2=500.0)
    factories.StratumFactory(pavement=pavement, kind="run_on_edge", area_m2=50.0)
    Stratum.objects.update(void_at="2026-01-01T00:00Z", void_why="drawn twice")
    found = surface_parts({pavement.pk: 500.0}, set(), strata_of(pavement))
    assert found[pavement.pk].why_not == NO_EDGE
