"""The joint that two panels share: where it runs, and how far along it something lies."""

from datetime import date

import pytest

from registry.plan.faults import PlaceError
from registry.plan.joints import along_joint, joint_between
from registry.plan.panels import Panel, PanelName
from registry.plan.places import JointMeasure, JointPlace, Span, at
from registry.units import System

DAY = date(2023, 1, 1)


def panel(letter, number, right_m, up_m, length_m=4.0):
    return Panel(letter, number, right_m, up_m, 3.0, length_m, exists_from=DAY)


A1, B1 = panel("A", 1, 0.0, 0.0), panel("B", 1, 3.0, 1.0)
A2 = panel("A", 2, 0.0, 4.0)


def place(first, second, measure=JointMeasure.UP, along=None):
    names = (PanelName(name[0], int(name[1])) for name in (first, second))
    return JointPlace(*names, measure, along)


def on(joint, along=None, measure=JointMeasure.UP):
    measure = measure if along else None
    return along_joint(joint, place("A1", "B1", measure, along), A1, System.SI)


def test_joint_is_the_stretch_that_both_panels_have():
    joint = joint_between(A1, B1)
    assert (joint.measure, joint.from_to_m) == (JointMeasure.UP, (1.0, 4.0))
    assert on(joint).points == ((3.0, 1.0), (3.0, 4.0))


def test_joint_between_numbers_runs_right():
    joint = joint_between(A1, A2)
    assert (joint.measure, joint.from_to_m) == (JointMeasure.RIGHT, (0.0, 3.0))


def test_place_on_a_joint_is_measured_in_its_first_panel():
    joint = joint_between(A1, B1)
    assert on(joint, at(2.5)).points == ((3.0, 2.5),)
    assert on(joint, Span(2.0, 3.0)).length_m == pytest.approx(1.0)


def test_place_past_the_end_or_in_the_wrong_measure_is_refused():
    joint = joint_between(A1, B1)
    with pytest.raises(PlaceError, match="goes from U 1 to 4 m"):
        on(joint, at(0.5))
    with pytest.raises(PlaceError, match="runs up; measure along it in U"):
        on(joint, at(2.0), JointMeasure.RIGHT)


def test_panels_that_meet_at_a_corner_or_not_at_all_share_none():
    for other in (panel("B", 2, 3.0, 4.0), panel("B", 2, 3.0, 3.99), panel("C", 1, 6.0, 0.0)):
        with pytest.raises(PlaceError, match="do not share a joint"):
            joint_between(A1, other)
