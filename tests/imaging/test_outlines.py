"""Areas and lengths from a photo: true under known cameras, with an error that can be trusted."""

import math

import numpy as np
import pytest

from registry.imaging import (
    Flat,
    Marking,
    OutlineRefused,
    SeenRectangle,
    area_of,
    length_of,
    on_plan,
)
from registry.imaging import homography as h
from tests.imaging.cameras import (
    CAMERAS,
    SIZE_M,
    Camera,
    ellipse,
    polygon_area,
    rectangle,
)

MARKING = Marking(corner_px=1.0, point_px=1.0, side_m=0.003)
CRACK = np.array([(0.4, 0.5), (1.0, 1.2), (1.3, 2.4), (2.5, 3.3)])
STEEP = Camera(60.0, 35.0, 10.0)


def seen_by(camera: Camera, *, whole_px: bool = False) -> SeenRectangle:
    return SeenRectangle(tuple(camera.corners(whole_px=whole_px)), SIZE_M, camera.picture_px)


def as_clicked(camera: Camera, points_m: np.ndarray) -> list[tuple[float, float]]:
    """The points as they come from whole pixels of a flat picture of 100 pixels a metre."""
    flat = Flat(b"", 340, 440, 100.0, -0.2, -0.2, seen_by(camera, whole_px=True))
    true = h.carry(flat.seen.to_plane, camera.project(points_m))
    pixels = np.round((true - (flat.left_m, flat.bottom_m)) * 100)
    size = np.array([flat.width_px, flat.height_px])
    clicked = pixels / size
    return list(flat.to_metres([(x, 1 - y) for x, y in clicked]))


@pytest.mark.parametrize("camera", CAMERAS, ids=str)
def test_an_area_is_within_two_in_a_hundred_and_within_its_own_error(camera: Camera):
    found = area_of(seen_by(camera, whole_px=True), as_clicked(camera, ellipse()), MARKING)
    true = polygon_area(ellipse())
    assert found.area_m2 == pytest.approx(true, rel=0.02)
    assert abs(found.area_m2 - true) <= found.area_error_m2
    assert found.area_error_m2 < 0.05 * true
    assert found.length_m is None


@pytest.mark.parametrize("seed", range(40))
def test_any_outline_from_any_camera_up_to_sixty_degrees_keeps_to_both_too(seed: int):
    """Ten each of 40 seeds: tilt, side, roll, distance and lens as they come; an uneven outline."""
    rng = np.random.default_rng(seed)
    for _ in range(10):
        camera = Camera(
            tilt_deg=rng.uniform(0, 60),
            azimuth_deg=rng.uniform(0, 360),
            roll_deg=rng.uniform(-20, 20),
            distance_m=rng.uniform(6, 8),
            focal_px=rng.uniform(850, 1000),
        )
        count = rng.integers(8, 30)
        turns = (np.arange(count) + rng.uniform(-0.3, 0.3, count)) * 2 * np.pi / count
        reach = rng.uniform(0.7, 1.0, (len(turns), 1)) * (1.2, 1.7)
        outline = np.array(SIZE_M) / 2 + reach * np.column_stack([np.cos(turns), np.sin(turns)])
        found = area_of(seen_by(camera, whole_px=True), as_clicked(camera, outline), MARKING)
        true = polygon_area(outline)
        assert found.area_m2 == pytest.approx(true, rel=0.02), camera
        assert abs(found.area_m2 - true) <= found.area_error_m2, camera


@pytest.mark.parametrize("camera", CAMERAS, ids=str)
def test_a_length_is_within_two_in_a_hundred_and_within_its_own_error(camera: Camera):
    found = length_of(seen_by(camera, whole_px=True), as_clicked(camera, CRACK), MARKING)
    true = float(np.linalg.norm(np.diff(CRACK, axis=0), axis=1).sum())
    assert found.length_m == pytest.approx(true, rel=0.02)
    assert abs(found.length_m - true) <= found.length_error_m
    assert found.area_m2 is None


@pytest.mark.parametrize("camera", CAMERAS[::4], ids=str)
def test_exact_corners_give_the_exact_area_either_way_round(camera: Camera):
    seen = seen_by(camera)
    for points in (ellipse(7), ellipse(7)[::-1]):
        found = area_of(seen, [tuple(p) for p in points], MARKING)
        assert found.area_m2 == pytest.approx(polygon_area(points), rel=1e-6)


def test_the_rectangle_itself_has_its_own_area():
    found = area_of(seen_by(STEEP), [tuple(p) for p in rectangle()], MARKING)
    assert found.area_m2 == pytest.approx(12.0, rel=1e-12)


def test_the_error_from_the_corners_is_that_of_many_tries():
    rng = np.random.default_rng(77)
    seen, points = seen_by(STEEP), ellipse(12)
    photo = STEEP.project(points)
    areas = []
    for _ in range(1500):
        corners = seen.corners_px + rng.normal(0, 2.0, (4, 2))
        areas.append(polygon_area(h.carry(h.fit(corners, rectangle()), photo)))
    stated = area_of(seen, [tuple(p) for p in points], Marking(2.0, 1e-9, 0.0)).area_error_m2
    assert stated == pytest.approx(2 * np.std(areas), rel=0.06)


def test_the_error_from_the_sides_is_that_of_many_tries():
    rng = np.random.default_rng(78)
    points, width, height = ellipse(12), *SIZE_M
    scale = (1 + rng.normal(0, 0.01 / width, 20_000)) * (1 + rng.normal(0, 0.01 / height, 20_000))
    stated = area_of(seen_by(STEEP), [tuple(p) for p in points], Marking(0.0, 1e-9, 0.01))
    assert stated.area_error_m2 == pytest.approx(2 * np.std(scale * polygon_area(points)), rel=0.03)


def test_the_error_from_an_outline_drawn_too_wide_is_that_much_area():
    straight_down, points = Camera(0.0), ellipse(400)
    metres_per_px = straight_down.distance_m / straight_down.focal_px
    angle = np.linspace(0, 2 * np.pi, 400, endpoint=False)
    normal = np.column_stack([1.3 * np.cos(angle), 0.9 * np.sin(angle)])
    normal /= np.linalg.norm(normal, axis=1)[:, None]
    wider = polygon_area(points + normal * 2 * metres_per_px) - polygon_area(points)
    seen = seen_by(straight_down)
    stated = area_of(seen, [tuple(p) for p in points], Marking(0.0, 1.0, 0.0)).area_error_m2
    assert stated == pytest.approx(wider, rel=0.02)


def test_more_points_do_not_make_an_area_surer():
    seen, marking = seen_by(STEEP), Marking(0.0, 1.0, 0.0)
    few, many = (
        area_of(seen, [tuple(p) for p in ellipse(count)], marking).area_error_m2
        for count in (30, 600)
    )
    assert many == pytest.approx(few, rel=0.05)


def test_the_error_of_a_line_is_that_of_many_tries():
    rng = np.random.default_rng(79)
    seen = seen_by(STEEP)
    photo = STEEP.project(CRACK)
    lengths = []
    for _ in range(1500):
        moved = h.carry(seen.to_plane, photo + rng.normal(0, 1.5, photo.shape))
        lengths.append(np.linalg.norm(np.diff(moved, axis=0), axis=1).sum())
    stated = length_of(seen, [tuple(p) for p in CRACK], Marking(0.0, 1.5, 0.0)).length_error_m
    assert stated == pytest.approx(2 * np.std(lengths), rel=0.06)


def test_the_error_grows_with_the_distance_from_a_small_rectangle():
    card = np.array([(0, 0), (0.3, 0), (0.3, 0.3), (0, 0.3)])
    camera = Camera(30.0)
    seen = SeenRectangle(tuple(camera.fractions(card)), (0.3, 0.3), camera.picture_px)
    errors = []
    for away in (0.0, 1.0, 2.5):
        square = [(away, 0.0), (away + 0.3, 0.0), (away + 0.3, 0.3), (away, 0.3)]
        errors.append(area_of(seen, square, Marking(0.2, 0.2, 0.001)).area_error_m2)
    assert errors[0] < errors[1] < errors[2]
    assert errors[2] > 2 * errors[0]


SQUARE = [(1.0, 1.0), (2.0, 1.0), (2.0, 2.0), (1.0, 2.0)]


@pytest.mark.parametrize(
    ("points", "words"),
    [
        ([], "at least three"),
        (SQUARE[:2], "at least three"),
        ([SQUARE[0], SQUARE[1], SQUARE[0]], "at least three"),
        ([SQUARE[0]] * 10, "at least three"),
        ([SQUARE[0], SQUARE[2], SQUARE[1], SQUARE[3]], "crosses or touches itself"),
        ([*SQUARE, (1.0, 1.5), (1.0, 1.8)], "crosses or touches itself"),
        ([(1, 1), (2, 1), (3, 1)], "crosses or touches itself"),
        ([(1, 1), (2, 1), (float("nan"), 2)], "has no place"),
        ([(1, 1), (2, 1), (40, 2)], "beyond what the photo shows"),
        ([(1, 1), (2, 1), (1.5, -9)], "beyond what the photo shows"),
        ([(1 + 0.0001 * n, 1) for n in range(2001)], "may have 2000 points"),
    ],
)
def test_outlines_without_one_area_are_refused(points: list, words: str):
    with pytest.raises(OutlineRefused, match=words):
        area_of(seen_by(STEEP), points, MARKING)


def test_a_point_tapped_twice_and_a_ring_closed_by_hand_count_once():
    once = area_of(seen_by(STEEP), SQUARE, MARKING)
    doubled = [SQUARE[0], SQUARE[0], *SQUARE[1:], SQUARE[0]]
    assert area_of(seen_by(STEEP), doubled, MARKING) == once


def test_a_line_needs_two_points_and_may_cross_itself():
    with pytest.raises(OutlineRefused, match="at least two"):
        length_of(seen_by(STEEP), SQUARE[:1], MARKING)
    crossing = [SQUARE[0], SQUARE[2], SQUARE[1], SQUARE[3]]
    found = length_of(seen_by(STEEP), crossing, MARKING)
    assert found.length_m == pytest.approx(1 + 2 * math.sqrt(2))


def test_an_area_smaller_than_its_error_is_no_measurement():
    tiny = [(1.0, 1.0), (1.01, 1.0), (1.01, 1.01), (1.0, 1.01)]
    with pytest.raises(OutlineRefused, match="measures nothing"):
        area_of(seen_by(STEEP), tiny, MARKING)


@pytest.mark.parametrize(
    "parts", [(-1, 1, 0), (1, -1, 0), (1, 1, -1), (1, 0, 0), (float("nan"), 1, 0)]
)
def test_how_surely_points_were_marked_must_be_said(parts: tuple[float, float, float]):
    with pytest.raises(OutlineRefused, match="must be said"):
        Marking(*parts)


def test_an_outline_lands_on_the_plan_where_its_panel_lies():
    # Panel C8 of 12 ft panels: home corner 24 ft right, 84 ft up.
    home = (24 * 0.3048, 84 * 0.3048)
    assert on_plan([(1.0, 2.0)], home) == (pytest.approx((home[0] + 1, home[1] + 2)),)
    assert on_plan([(1.0, 2.0)], home, 90.0) == (pytest.approx((home[0] - 2, home[1] + 1)),)
    with pytest.raises(OutlineRefused, match="written in lengths"):
        on_plan([(1.0, 2.0)], (float("nan"), 0.0))
