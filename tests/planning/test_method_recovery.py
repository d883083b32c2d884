"""What methods regained over many pavements, held to a hand-worked case and to scipy.stats."""

import math

import pytest
from scipy import stats

from registry.measuring.certainty import Certainty, TooFew
from registry.measuring.cleaning_gain import Gain, NoGain
from registry.planning.method_recovery import CleaningGains, MeanShare, recovery_of


def gain(factor, share=None, sign="", notes=(), share_sign=""):
    no_share = "" if share is not None else "no as-built"
    return Gain(factor, sign, share, share_sign, no_share, tuple(notes))


def cleaned(pavement, *gains, machine="sweeper 4"):
    return CleaningGains(pavement, "vacuum", machine, gains)


FOUR = (1.2, 1.5, 2.0, 0.9)


def test_four_pavements_by_hand():
    # ln: .18232, .40547, .69315, -.10536; mean .29390; from it -+.11158, +-.39926;
    # s = sqrt(.34371 / 3) = .33848; t(.975, 3) = 3.18245; half .53860; exp(-.24470), exp(.83249)
    found = recovery_of(cleaned(n, gain(g)) for n, g in enumerate(FOUR))
    assert isinstance(found.gain, Certainty)
    assert found.gain.geometric_mean == pytest.approx(1.3416, abs=2e-4)
    assert found.gain.low == pytest.approx(0.7829, abs=2e-4)
    assert found.gain.high == pytest.approx(2.2990, abs=3e-4)
    assert (found.cleanings, found.pavements, found.spots) == (4, 4, 4)
    assert (found.least, found.most) == (0.9, 2.0)


def test_interval_against_scipy_stats():
    shares = [0.2, 0.5, 0.4, 0.7, 0.35]
    rows = [cleaned(n, gain(1.0 + s, share=s)) for n, s in enumerate(shares)]
    found = recovery_of(rows)
    logs = [math.log(1.0 + s) for s in shares]
    low, high = stats.t.interval(0.95, 4, loc=sum(logs) / 5, scale=stats.sem(logs))
    assert isinstance(found.gain, Certainty) and isinstance(found.share, MeanShare)
    assert (found.gain.low, found.gain.high) == pytest.approx((math.exp(low), math.exp(high)))
    low, high = stats.t.interval(0.95, 4, loc=0.43, scale=stats.sem(shares))
    assert (found.share.mean, found.share.low, found.share.high) == pytest.approx((0.43, low, high))


def test_many_spots_and_cleanings_of_one_pavement_count_as_one_pavement():
    rows = [cleaned(n, gain(g)) for n, g in enumerate(FOUR)]
    crowd = [cleaned(0, gain(1.2), gain(1.2), gain(1.2)) for _ in range(20)]
    one, many = recovery_of(rows), recovery_of([*rows, *crowd])
    assert isinstance(one.gain, Certainty) and isinstance(many.gain, Certainty)
    assert many.gain.low == pytest.approx(one.gain.low)
    assert many.gain.high == pytest.approx(one.gain.high)
    assert (many.pavements, many.cleanings, many.spots) == (4, 24, 64)


def test_under_four_pavements_nothing_is_given():
    found = recovery_of(cleaned(n, gain(g), gain(g)) for n, g in enumerate(FOUR[:3]))
    assert isinstance(found.gain, TooFew) and found.gain.code == "too_few"
    assert found.gain.reason == "Too few: 3 of at least 4 results."
    assert found.least == 1.2


def test_bound_among_gains_forbids_a_mean():
    rows = [cleaned(n, gain(g)) for n, g in enumerate(FOUR)]
    found = recovery_of([*rows, cleaned(9, gain(3.0, sign=">"))])
    assert isinstance(found.gain, TooFew) and found.gain.code == "bounds"


def test_what_is_not_dry_or_far_off_or_missing_is_left_out_and_counted():
    rows = [
        cleaned(1, gain(1.5), gain(9.0, notes=("dry not shown",))),
        cleaned(2, gain(9.0, notes=("after tested 203 days later",))),
        cleaned(3, NoGain("before_missing", "No test before the cleaning at this spot.")),
        cleaned(4),
    ]
    found = recovery_of(rows)
    assert (found.cleanings, found.counted, found.spots, found.most) == (4, 1, 1, 1.5)
    assert dict(found.left_out) == {
        "The tests are not shown to be dry.": 1,
        "A test lies more than 14 days from the cleaning.": 1,
        "No test before the cleaning at this spot.": 1,
        "No test beside the cleaning.": 1,
    }


def test_order_of_rows_changes_nothing():
    rows = [cleaned(n, gain(g, share=g / 3)) for n, g in enumerate(FOUR)]
    one, other = recovery_of(rows), recovery_of(rows[::-1])
    assert isinstance(one.gain, Certainty) and isinstance(other.gain, Certainty)
    assert one.gain.high == pytest.approx(other.gain.high)


def test_no_cleaning_gives_no_number():
    found = recovery_of([])
    assert isinstance(found.gain, TooFew) and isinstance(found.share, TooFew)
    assert (found.cleanings, found.least) == (0, None)
