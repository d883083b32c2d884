"""Where words may stand: what lies under them, counted for many places at once."""

import numpy as np
import pytest

from registry.drawing.labels import Labels, _shared


def filled(count, seed=4):
    rng = np.random.default_rng(seed)
    labels = Labels((0.0, 0.0, 180.0, 90.0))
    for x, y in rng.uniform(0, 90, (count, 2)):
        labels.keep_off((float(x), float(y)), 3.0)
    return labels, rng


@pytest.mark.parametrize("count", [0, 1, 64, 65, 500])
def test_what_lies_under_a_box_is_the_sum_over_all_places_taken(count):
    labels, rng = filled(count)
    boxes = [(x, y, x + 9.0, y + 3.0) for x, y in rng.uniform(-5, 95, (40, 2)).tolist()]
    wanted = [sum(_shared(box, other) for other in labels.taken) for box in boxes]
    assert labels._costs(boxes) == pytest.approx(wanted, abs=1e-9)


def test_a_place_taken_later_counts_from_then_on():
    labels, _ = filled(70)
    box = (170.0, 80.0, 178.0, 84.0)
    assert labels._cost(box) == 0
    labels.keep_off_box((170.0, 80.0, 174.0, 84.0))
    assert labels._cost(box) == pytest.approx(16.0)
    labels.taken.extend([box] * 200)
    assert labels._cost(box) == pytest.approx(16.0 + 200 * 32.0)


def test_two_labels_at_one_point_do_not_lie_on_each_other():
    labels, _ = filled(30)
    for _ in range(5):
        assert labels.led((40.0, 40.0), "spot U")
    for nth, one in enumerate(labels.words):
        assert all(_shared(one, other) == 0 for other in labels.words[nth + 1 :])


def test_words_of_an_area_stand_inside_it_or_not_at_all():
    labels = Labels((0.0, 0.0, 180.0, 90.0))
    narrow = ((10.0, 10.0), (12.0, 10.0), (12.0, 80.0), (10.0, 80.0))
    assert labels.within(narrow, ("wheel path: watch", "watch")) == ()
    wide = ((20.0, 10.0), (60.0, 10.0), (60.0, 16.0), (20.0, 16.0))
    assert labels.within(wide, ("wheel path: watch", "watch"))
    left, top, right, bottom = labels.words[0]
    assert left >= 20.0 and right <= 60.0 and top >= 10.0 and bottom <= 16.0
    filled_up = ((80.0, 10.0), (120.0, 10.0), (120.0, 16.0), (80.0, 16.0))
    labels.keep_off_box((80.0, 10.0, 120.0, 16.0))
    assert labels.within(filled_up, ("watch",)) == ()
