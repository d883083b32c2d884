"""Marks as shapes: fractions to pixels, the arrow's head at its point, words beside."""

import math

from registry.imaging import Mark, MarkKind, shapes_of


def test_a_ring_is_a_middle_and_a_radius_in_pixels():
    (ring,) = shapes_of([Mark(MarkKind.RING, ((0.5, 0.5), (0.6, 0.5)))], 1000, 500)
    assert (ring.kind, ring.x, ring.y, ring.r) == ("ring", 500, 250, 100)


def test_an_arrow_has_its_head_at_its_point():
    shaft, head = shapes_of([Mark(MarkKind.ARROW, ((0.1, 0.5), (0.5, 0.5)))], 1000, 1000)
    assert shaft.points == "100,500 500,500"
    points = [tuple(map(float, pair.split(","))) for pair in head.points.split()]
    assert points[1] == (500, 500)
    assert all(math.isclose(math.dist(p, (500, 500)), 30, abs_tol=0.2) for p in points[::2])
    assert all(p[0] < 500 for p in points[::2]), "it opens towards the tail"


def test_an_outline_closes_and_a_line_does_not():
    corners = ((0.1, 0.1), (0.2, 0.1), (0.2, 0.3))
    outline, line = shapes_of(
        [Mark(MarkKind.OUTLINE, corners), Mark(MarkKind.LINE, corners)], 100, 100
    )
    assert (outline.is_closed, line.is_closed) == (True, False)
    assert outline.points == line.points == "10,10 20,10 20,30"


def test_words_stand_at_their_point_and_beside_a_mark():
    alone, *_ = shapes_of([Mark(MarkKind.WORDS, ((0.5, 0.5),), "loose")], 1000, 1000)
    assert (alone.kind, alone.x, alone.y, alone.text) == ("words", 500, 500, "loose")
    *_, beside = shapes_of([Mark(MarkKind.LINE, ((0.5, 0.5), (0.6, 0.5)), "crack")], 1000, 1000)
    assert beside.text == "crack"
    assert beside.x > 500 > beside.y
