"""As if cleaned today: the worst place decides, and its chance is told beside that of the whole."""

from dataclasses import replace

import numpy as np
import pytest

from registry.decline.outlook import outlooks_of
from registry.decline.records import METHODS
from registry.gathering.cleaned_places import CleanedPlaces
from tests.decline.portfolios import expected_parameters, reference_gathered


@pytest.fixture(scope="module")
def outlooks():
    return outlooks_of(reference_gathered().portfolio, expected_parameters())


@pytest.fixture(scope="module")
def cleaned(outlooks):
    count = len(outlooks.portfolio.ref)
    places = {own: places_of(outlooks, own) for own in range(count)}
    return CleanedPlaces(outlooks, places, [f"n{s}" for s in range(len(outlooks.portfolio.spot))])


def places_of(outlooks, own):
    spots = np.flatnonzero(outlooks.portfolio.spot_pavement == own) + len(outlooks.portfolio.ref)
    return [own, *(place for place in spots.tolist() if outlooks.places.tests[place])]


def test_worst_place_is_never_better_off_than_the_surface_as_a_whole(outlooks, cleaned):
    known = ~np.isnan(outlooks.after.p_below)
    assert (cleaned.chance[known] >= outlooks.after.p_below[known]).all()
    assert (cleaned.chance[known] > outlooks.after.p_below[known] + 0.1).any()


def test_day_after_a_cleaning_is_the_earliest_of_all_places(outlooks, cleaned):
    for own in range(len(outlooks.portfolio.ref)):
        for method in range(len(METHODS)):
            days = [cleaned.days[place, method] for place in places_of(outlooks, own)]
            known = [day for day in days if not np.isnat(day)]
            day = cleaned.sweep_by(own, method)
            assert day == (min(known).item() if known else None)


def test_chance_at_the_place_that_decides_is_its_own_with_what_the_method_leaves(outlooks, cleaned):
    """A place that a cleaning does not help at all has the chance of today."""
    own = int(np.nanargmax(cleaned.chance[:, 0] - outlooks.after.p_below[:, 0]))
    name = cleaned.name(own, 0)
    assert name
    place = len(outlooks.portfolio.ref) + int(name.removeprefix("n"))
    assert place in places_of(outlooks, own)
    assert outlooks.p_below[own] < cleaned.chance[own, 0] <= outlooks.p_below[place]
    left = [cleaned.chance[own, n] for n in np.argsort(expected_parameters().recovery)]
    assert left == sorted(left, reverse=True)


def test_pavement_whose_action_level_is_not_known_is_not_decided(outlooks):
    unknown = np.full(len(outlooks.places.age), np.nan)
    places = replace(outlooks.places, ln_action=unknown)
    after = replace(outlooks.after, p_below=np.full_like(outlooks.after.p_below, np.nan))
    nothing = replace(outlooks, places=places, after=after, reaching_age=unknown)
    found = CleanedPlaces(nothing, {0: places_of(outlooks, 0)}, [])
    assert np.isnan(found.chance[0]).all()
    assert found.sweep_by(0, 0) is None
