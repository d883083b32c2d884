"""The same defect or a new one? House rule, no source."""

import math
from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.defects import CannotCompare, Sighted, UnknownKind, offers
from registry.units import System

FT = 0.3048
OLD, NEW = date(2023, 9, 14), date(2025, 5, 13)


def spot(ref, right_ft: float, up_ft: float, how: str = "panel", **changes) -> Sighted:
    here = Sighted(ref, "raveling", OLD, "C8", ((right_ft * FT, up_ft * FT),), how)
    return replace(here, **changes)


def box(ref, left: float, low: float, right: float, high: float, **changes) -> Sighted:
    corners = ((left, low), (right, low), (right, high), (left, high))
    outline = tuple((x * FT, y * FT) for x, y in corners)
    return replace(spot(ref, 0, 0), outline=outline, is_area=True, **changes)


def refs(new: Sighted, *known: Sighted) -> list:
    return [offer.ref for offer in offers(new, known)]


@pytest.mark.parametrize(
    ("one", "other", "within_ft"),
    [
        ("panel", "panel", 1),
        ("panel", "tape", 2),
        ("tape", "panel", 2),
        ("tape", "tape", 2),
        ("panel", "wheel", 4),
        ("wheel", "tape", 4),
    ],
)
def test_centres_count_as_one_place_by_the_looser_way_of_placing(one, other, within_ft):
    new = spot("new", 10, 10, one)
    assert refs(new, spot(1, 10 + within_ft, 10, other)) == [1]
    assert refs(new, spot(1, 10, 10 - within_ft - 0.01, other)) == []


def test_outlines_that_overlap_are_offered_however_far_their_centres():
    (offer,) = offers(box("new", 0, 0, 12, 1), [box(1, 11, 0, 40, 1)])
    assert (offer.relation, offer.distance_m) == ("same", 0.0)
    assert math.isclose(offer.centres_m, 19.5 * FT)
    assert offer.words(System.SI) == (
        "Same as 1? The outlines overlap or meet. Same kind and same concrete."
    )


def test_areas_that_only_share_an_edge_do_not_overlap():
    assert refs(box("new", 0, 0, 12, 12), box(1, 12, 0, 24, 12)) == []


def test_a_spot_on_the_edge_of_an_area_and_a_line_through_it_are_offered():
    area = box(1, 0, 0, 12, 12)
    line = spot("new", 0, 0, outline=((-5.0, 1.0), (9.0, 1.0)))
    assert refs(spot("new", 12, 6), area) == [1]
    assert refs(line, area) == [1]


def test_an_area_drawn_across_itself_is_still_compared():
    bow = spot(1, 0, 0, outline=((0.0, 0.0), (4.0, 4.0), (4.0, 0.0), (0.0, 4.0)), is_area=True)
    assert refs(spot("new", 1, 6, outline=((2.0, 3.5),)), bow) == []
    assert refs(spot("new", 1, 6, outline=((3.5, 2.0),)), bow) == [1]


def test_another_kind_is_never_offered():
    assert refs(spot("new", 1, 1), spot(1, 1, 1, kind="crack")) == []


def test_case_32_what_lies_in_newer_concrete_recurs_and_is_not_the_same():
    (offer,) = offers(
        spot("new", 1, 1, concrete_placed_on=NEW, concrete="C8 new"), [spot(104, 1, 1.5)]
    )
    assert offer.relation == "recurs"
    assert offer.words(System.INCH_POUND) == (
        "Does this recur from 104? The centers lie 0.5 ft apart. "
        "The concrete here was placed 2025-05-13, that one's 2023-09-14."
    )


def test_case_43_what_comes_back_after_its_repair_recurs():
    for state in ("repaired", "sound", "closed"):
        (offer,) = offers(spot("new", 1, 1), [spot(1, 1, 1, state=state)])
        assert offer.relation == "recurs"


def test_two_panels_of_one_placing_are_the_same_concrete():
    (offer,) = offers(spot("new", 12, 1, concrete="C9"), [spot(1, 12, 1, concrete="C8")])
    assert offer.relation == "same"


@pytest.mark.parametrize("placed", [(None, OLD), (OLD, None), (None, None)])
def test_unknown_concrete_is_not_decided_unless_it_is_the_very_same_panel(placed):
    new = spot("new", 1, 1, concrete_placed_on=placed[0])
    old = spot(1, 1, 1, concrete_placed_on=placed[1])
    assert offers(new, [old])[0].relation == "same"
    assert offers(replace(new, concrete=None), [old])[0].relation == "not_decided"
    assert offers(replace(new, concrete="B1"), [old])[0].relation == "not_decided"


def test_a_known_one_in_newer_concrete_is_not_what_this_recurs_from():
    (offer,) = offers(spot("new", 1, 1), [spot(1, 1, 1, concrete_placed_on=NEW)])
    assert offer.relation == "not_decided"
    assert "newer concrete" in offer.reason


def test_the_nearest_comes_first_and_those_of_unknown_place_last():
    known = [
        spot("nowhere", 0, 0, outline=()),
        spot("far", 10.9, 10),
        box("around", 8, 8, 30, 30),
        spot("near", 10.2, 10),
    ]
    assert refs(spot("new", 10, 10), *known) == ["around", "near", "far", "nowhere"]


def test_one_of_unknown_place_is_offered_in_the_very_same_panel_only():
    lost = spot(1, 0, 0, outline=())
    (offer,) = offers(spot("new", 1, 1), [lost])
    assert (offer.relation, offer.distance_m) == ("not_decided", None)
    assert "not known" in offer.words(System.SI)
    assert offers(spot("new", 1, 1, concrete="D1"), [lost]) == ()
    assert offers(spot("new", 1, 1, concrete=None), [replace(lost, concrete=None)]) == ()


def test_distances_are_shown_in_the_system_asked_for():
    (offer,) = offers(spot("new", 10, 10), [spot(1, 10.5, 10)])
    assert "0.5 ft apart" in offer.words(System.INCH_POUND)
    assert "0.15 m apart" in offer.words(System.SI)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"how": "eye"}, "by panel, tape or wheel"),
        ({"outline": ((math.nan, 1.0),)}, "not a number"),
        ({"outline": ((0.0, 0.0), (1.0, 1.0)), "is_area": True}, "at least three corners"),
    ],
)
def test_a_place_that_cannot_be_is_refused(changes, words):
    with pytest.raises(CannotCompare, match=words):
        spot(1, 1, 1, **changes)


def test_a_kind_that_is_none_is_refused():
    with pytest.raises(UnknownKind):
        spot(1, 1, 1, kind="hole")


COORDINATE = st.floats(-3, 3).map(lambda x: round(x, 3))


@given(st.tuples(COORDINATE, COORDINATE), st.tuples(COORDINATE, COORDINATE))
def test_who_is_new_makes_no_difference_to_how_far(one, other):
    a, b = spot("a", 0, 0, outline=(one,)), spot("b", 0, 0, "wheel", outline=(other,))
    there, back = offers(a, [b]), offers(b, [a])
    assert [o.distance_m for o in there] == [o.distance_m for o in back]
    assert bool(there) == (math.dist(one, other) <= 4 * FT + 1e-9)
