import pytest
from shapely import LineString, Polygon

from registry.drawing import Hatch, hatched
from registry.drawing.hatches import HATCH_OF_STATE

SQUARE = ((10.0, 10.0), (40.0, 10.0), (40.0, 30.0), (10.0, 30.0))


@pytest.mark.parametrize("hatch", list(Hatch))
def test_hatch_stays_inside_its_area(hatch):
    strokes = hatched(SQUARE, hatch)
    assert strokes.lines
    around = Polygon(SQUARE).buffer(1e-6)
    assert all(around.covers(LineString(line)) for line in strokes.lines)


def test_worse_states_are_denser():
    def ink(state):
        hatch = HATCH_OF_STATE[state]
        if hatch is None:
            return 0.0
        return sum(LineString(line).length for line in hatched(SQUARE, hatch).lines)

    order = ["working", "watch", "clean", "restore", "not_working"]
    lengths = [ink(state) for state in order]
    assert lengths == sorted(lengths)
    assert len(set(lengths)) == len(order)


def test_every_condition_has_its_own_look():
    hatches = list(HATCH_OF_STATE.values())
    assert len(set(hatches)) == len(hatches)


def test_hatch_of_a_hollow_shape_leaves_the_hollow_free():
    shape = ((0, 0), (30, 0), (30, 30), (20, 30), (20, 10), (10, 10), (10, 30), (0, 30))
    hollow = Polygon(((10.1, 10.1), (19.9, 10.1), (19.9, 30), (10.1, 30)))
    lines = hatched(shape, Hatch.CLEAN).lines
    assert not any(LineString(line).intersects(hollow) for line in lines)
