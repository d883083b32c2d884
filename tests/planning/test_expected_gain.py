"""The expected gain against draws, and where none may be given."""

import math
from dataclasses import replace

import numpy as np
import pytest

from registry.planning.expected_gain import Clogging, ExpectedGain, Recovery, expected_gain
from registry.planning.faults import PlanningError
from registry.planning.words import NotDecided

SEED = 20260914


def drawn(clogging: Clogging, recovery: Recovery, draws: int = 400_000) -> list[float]:
    """10 %, 50 % and 90 % of the gain by plain draws."""
    rng = np.random.default_rng(SEED)
    k = rng.normal(clogging.k, clogging.sd_k, draws)
    logit = math.log(recovery.share / (1 - recovery.share))
    r = 1 / (1 + np.exp(-rng.normal(logit, recovery.sd_logit, draws)))
    gain = np.exp(clogging.effective_age_yr * (r * k)[k >= 0])
    return np.quantile(gain, [0.1, 0.5, 0.9]).tolist()


@pytest.mark.parametrize(
    ("clogging", "recovery"),
    [
        (Clogging(0.35, 0.1, 3.0), Recovery(0.65)),
        (Clogging(0.35, 0.1, 3.0), Recovery(0.40, 0.5)),
        (Clogging(0.05, 0.2, 2.0), Recovery(0.30, 0.8)),
        (Clogging(-0.1, 0.2, 2.0), Recovery(0.30, 0.3)),
    ],
)
def test_the_quantiles_are_those_of_draws(clogging, recovery):
    found = expected_gain(clogging, recovery)
    # 400 000 draws put a quantile within about 0.3 %.
    assert [found.low, found.median, found.high] == pytest.approx(
        drawn(clogging, recovery), rel=0.01
    )


def test_by_hand_where_the_spread_is_small():
    # exp(0.5 x 2 x 0.3) = 1.34986
    found = expected_gain(Clogging(0.3, 1e-6, 2.0), Recovery(0.5))
    assert found.median == pytest.approx(1.349859, abs=1e-5)


def test_nothing_to_take_away_gives_no_gain():
    assert expected_gain(Clogging(0.3, 0.1, 0.0), Recovery(0.5)) == ExpectedGain(1, 1, 1)


def test_older_dirt_and_better_methods_give_more():
    clogging = Clogging(0.3, 0.1, 2.0)
    gain = expected_gain(clogging, Recovery(0.4)).median
    assert expected_gain(replace(clogging, effective_age_yr=3.0), Recovery(0.4)).median > gain
    assert expected_gain(clogging, Recovery(0.65)).median > gain


@pytest.mark.parametrize(
    ("clogging", "recovery"),
    [
        (Clogging(None, None, None, "Not decided: no fit."), Recovery(0.5)),
        (Clogging(0.3, 0.1, 2.0), None),
        (Clogging(0.3, 0.0, 2.0), Recovery(0.5)),
    ],
)
def test_no_fit_no_gain(clogging, recovery):
    assert isinstance(expected_gain(clogging, recovery), NotDecided)


@pytest.mark.parametrize("share", [0.0, 1.0, -0.1])
def test_a_recovery_is_a_share(share):
    with pytest.raises(PlanningError):
        Recovery(share)
