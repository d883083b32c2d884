"""Rows of a clogged strip at the run-on edge -> rule 5 of "no longer enough"."""

from datetime import date

import pytest

from registry.actions.refresh_dues import refresh_dues
from registry.models import Due
from tests import factories
from tests.gathering.test_due_facts import TODAY, measured, rule
from tests.placing_factories import CoreFactory

pytestmark = pytest.mark.django_db
FT, IN_H = 0.3048, 25.4


@pytest.fixture
def lot():
    """48 ft across, 96 ft of roof and drive at 0.95 and 52.5 ft of slope at 0.35, 3.2 in/h."""
    row = factories.PavementFactory(placed_on=date(2015, 5, 1))
    factories.CriteriaFactory(pavement=row, intensity_mm_h=3.2 * IN_H)
    for name, column in (("A1", 0), ("B1", 1)):
        factories.PanelFactory(
            pavement=row, name=name, right_m=24 * FT * column, up_m=0.0,
            width_m=24 * FT, length_m=100 * FT,
        )  # fmt: skip
    for kind, length_ft, coefficient in (("roof", 96, 0.95), ("slope", 52.5, 0.35)):
        row.run_on_areas.create(
            kind=kind, area_m2=100.0, runoff_coefficient=coefficient,
            flow_length_m=length_ft * FT, enters="E edge", is_channelled=False,
        )  # fmt: skip
    return row


def strip(lot, width_ft, **fields):
    near, far = (48 - width_ft) * FT, 48 * FT
    defect = factories.DefectFactory(
        pavement=lot, kind="clogged", outline_kind="area",
        outline=[[near, 0.0], [far, 0.0], [far, 100 * FT], [near, 100 * FT]],
        **fields,
    )  # fmt: skip
    factories.ObservationFactory(
        defect=defect, seen_on=date(2026, 5, 1), width_m=width_ft * FT, is_at_run_on_edge=True
    )
    return defect


def rates(lot, strip_in_h=1.0, field_in_h=18.0):
    for name, stratum, in_h in (
        ("E", "run_on_edge", strip_in_h), ("W", "field", field_in_h),
    ):  # fmt: skip
        spot = factories.SpotFactory(pavement=lot, name=name, stratum=stratum)
        measured(spot, date(2026, 5, 2), in_h * IN_H)


def width_rule(lot, system="inch_pound"):
    return rule(due_of(lot), 5, system)


def due_of(lot):
    refresh_dues([lot.pk], today=TODAY)
    return Due.objects.get(pavement=lot)


def test_of_2024_the_width_left_is_enough(lot):
    strip(lot, 18)
    rates(lot)
    found = width_rule(lot)
    # Worked example N9: 26.4 ft of 30 left.
    assert (found["holds"], found["words"]) == (False, "Needed 26.4 ft of 30.0 ft left.")


def test_of_2025_water_leaves_the_lot(lot):
    strip(lot, 22)
    rates(lot, field_in_h=8.4)
    found = width_rule(lot)
    # The failed pavement: 76.7 ft of 26 left.
    assert (found["holds"], found["words"]) == (True, "Needed 76.7 ft of 26.0 ft left.")


def test_the_lowest_spot_of_the_field_and_its_newest_test_decide(lot):
    strip(lot, 18)
    rates(lot, field_in_h=8.4)
    measured(lot.spots.get(name="W"), date(2026, 5, 20), 120 * IN_H)
    assert width_rule(lot)["holds"] is False
    measured(factories.SpotFactory(pavement=lot, stratum="field"), date(2026, 5, 3), 8.4 * IN_H)
    assert width_rule(lot)["holds"] is True


def test_the_last_look_gives_the_width(lot):
    defect = strip(lot, 22)
    factories.ObservationFactory(
        defect=defect, seen_on=date(2026, 5, 9), width_m=18 * FT, is_at_run_on_edge=True
    )
    factories.ObservationFactory(defect=defect, seen_on=date(2026, 5, 12))  # still there, no more
    rates(lot)
    assert width_rule(lot)["words"] == "Needed 26.4 ft of 30.0 ft left."


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda lot: lot.defects.update(outline=[], outline_kind=""), "has no outline"),
        (lambda lot: lot.defects.update(outline_kind="line"), "has no outline"),
        (lambda lot: lot.defects.update(is_provisional=True), "has no outline"),
        (lambda lot: lot.defects.update(state="closed"), "No clogged strip"),
        (lambda lot: lot.spots.filter(name="E").update(stratum="other"), "rate of the clogged"),
        (lambda lot: lot.spots.filter(name="W").update(stratum="other"), "rate of the field"),
        (lambda lot: lot.criteria.update(intensity_mm_h=None), "design intensity"),
        (lambda lot: lot.run_on_areas.all().delete(), "No run-on area"),
        (lambda lot: lot.run_on_areas.update(flow_length_m=None), "Flow length"),
        (lambda lot: lot.run_on_areas.filter(kind="roof").update(enters="N"), "along one edge"),
        (lambda lot: lot.run_on_areas.update(is_channelled=True), "in a channel"),
        (lambda lot: lot.panels.update(up_m=500.0), "No panel lies beside"),
    ],
    ids=[
        "outline",
        "line",
        "provisional",
        "closed",
        "strip",
        "field",
        "rain",
        "none",
        "length",
        "edge",
        "channel",
        "plan",
    ],
)
def test_what_is_missing_is_told_and_nothing_decided(lot, change, words):
    strip(lot, 18)
    rates(lot)
    change(lot)
    found = width_rule(lot)
    assert found["holds"] is None
    assert words in found["words"]
    assert found["missing"]


def test_a_strip_wider_than_the_pavement_is_told(lot):
    strip(lot, 60)
    rates(lot)
    assert width_rule(lot)["words"] == "The clogged strip is wider than the pavement."


def test_rule_4_tells_no_core_from_a_core_that_does_not_say(lot):
    assert rule(due_of(lot), 4)["words"] == "No core is on record."
    CoreFactory(pavement=lot, number="K7", taken_on=date(2026, 5, 1))
    CoreFactory(pavement=lot, number="K8", taken_on=date(2026, 12, 1))
    found = rule(due_of(lot), 4)
    assert found["holds"] is None
    assert found["words"] == (
        "Depth of fines is not told of core K7. "
        "Whether paste closes the bottom is not told of core K7."
    )
