"""A look at a defect moves its state by rule, and every move can be read."""

from datetime import date

import pytest

from registry.actions.record_defect import record_defect
from registry.actions.record_observation import CannotRecordObservation, record_observation
from registry.models import Defect, Observation
from tests.factories import DefectFactory, ObservationFactory, PavementFactory, VisitFactory

pytestmark = pytest.mark.django_db


def look(defect, day, found, light="yes", **more):
    row = Observation(defect=defect, seen_on=day, found=found, good_light=light, **more)
    return record_observation(row, by=None, organisation=None)


def test_case_44_a_defect_missed_once_stays_open_and_twice_is_closed_with_a_line_that_says_so():
    defect = DefectFactory(state="watching")
    look(defect, date(2025, 4, 1), "not_found")
    defect.refresh_from_db()
    assert (defect.state, defect.is_open) == ("not_found_once", True)
    look(defect, date(2026, 4, 1), "not_found")
    defect.refresh_from_db()
    assert (defect.state, defect.is_open) == ("not_found_closed", False)
    assert defect.moves.last().why


def test_missed_in_bad_light_does_not_count():
    defect = DefectFactory(state="watching")
    look(defect, date(2025, 4, 1), "not_found", light="no")
    look(defect, date(2026, 4, 1), "not_found", light="no")
    defect.refresh_from_db()
    assert defect.state == "watching"


def test_found_again_goes_back_to_where_it_was_by_a_new_line():
    row = Defect(pavement=PavementFactory(), kind="crack", first_seen_on=date(2024, 4, 18))
    defect = record_defect(row, by=None, organisation=None)
    look(defect, date(2025, 4, 1), "not_found")
    look(defect, date(2026, 4, 1), "found", length_m=1.0, method="tape")
    defect.refresh_from_db()
    assert defect.state == "noted"
    assert defect.moves.last().is_back


def test_case_46_a_smaller_extent_is_kept_as_it_was_measured():
    defect = DefectFactory()
    ObservationFactory(defect=defect, area_m2=0.7)
    smaller = look(defect, date(2025, 4, 1), "found", area_m2=0.5, method="tape")
    assert smaller.area_m2 == 0.5
    assert defect.observations.standing().count() == 2


def test_a_sheet_that_comes_back_late_does_not_move_what_later_looks_moved():
    defect = DefectFactory(state="watching")
    look(defect, date(2025, 6, 1), "not_found")
    look(defect, date(2025, 5, 1), "not_found")
    defect.refresh_from_db()
    assert defect.state == "not_found_once"


def test_a_look_before_the_defect_was_first_seen_is_refused():
    with pytest.raises(CannotRecordObservation, match="before this defect was first seen"):
        look(DefectFactory(), date(2024, 4, 1), "found")


def test_a_look_on_a_visit_of_another_pavement_is_refused():
    with pytest.raises(CannotRecordObservation, match="another pavement"):
        look(DefectFactory(), date(2024, 5, 1), "found", visit=VisitFactory())


def test_severity_follows_what_was_measured_and_one_by_eye_is_marked():
    defect = DefectFactory(kind="crack")
    measured = look(defect, date(2025, 4, 1), "found", crack_width_m=0.008, lip_m=0.0)
    assert (measured.severity, measured.severity_by_eye) == ("high", False)
    by_eye = look(defect, date(2026, 4, 1), "found", severity="low")
    assert by_eye.severity_by_eye


def test_defects_of_one_pavement_are_numbered_one_after_the_other():
    pavement = PavementFactory()
    numbers = [
        record_defect(
            Defect(pavement=pavement, kind="stain", first_seen_on=date(2024, 4, 18)),
            by=None,
            organisation=None,
        ).number
        for _ in range(3)
    ]
    assert numbers == [1, 2, 3]
