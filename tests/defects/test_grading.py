"""Severity by the table: common practice, no source. Crack and spall limits follow the distress
identification manual FHWA-HRT-13-092, and 1/4 in the ADA standards 303, both from memory."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from registry.defects import (
    KINDS,
    LIMITS,
    POURS,
    SEVERITIES,
    Grade,
    Measured,
    MeasureError,
    Source,
    compare,
    grade,
)
from registry.units import Kind, System, read_quantity

INCH = 0.0254
FOOT2 = 0.3048**2
LOW, MODERATE, HIGH = SEVERITIES

# kind, field, (limit up to which it is low, up to which it is moderate), unit in SI, which of the
# two limits belongs to the worse side
LADDERS = [
    ("raveling", "frame_points", (10, 50), 1, ()),
    ("edge_raveling", "width_m", (1, 4), INCH, ()),
    ("sealed_spot", "area_m2", (1, 10), FOOT2, ()),
    ("clogged", "water_minutes", (10, 60), 1, (0,)),
    ("crack", "crack_width_m", (3, 6), 0.001, (0,)),
    ("lip", "lip_m", (0.125, 0.25), INCH, (0,)),
    ("settlement", "depth_m", (0.375, 0.75), INCH, ()),
    ("spall", "width_m", (3, 6), INCH, (0,)),
    ("growth", "panel_share", (0.1, 0.5), 1, (0,)),
    ("prints", "depth_m", (0.25, 0.5), INCH, (0,)),
    ("joint_stone_low", "depth_m", (0.5, 1), INCH, ()),
]


@pytest.mark.parametrize(("kind", "field", "limits", "unit", "worse"), LADDERS)
def test_each_side_of_each_limit_has_the_severity_of_the_table(kind, field, limits, unit, worse):
    def severity(value: float) -> str:
        return grade(kind, Measured(**{field: value * unit})).severity

    for nth, limit in enumerate(limits):
        milder, graver = SEVERITIES[nth], SEVERITIES[nth + 1]
        assert severity(limit * 0.999) == milder
        assert severity(limit) == (graver if nth in worse else milder)
        assert severity(limit * 1.001) == graver


@pytest.mark.parametrize("text", ["1/4 in", "0.25 in", "6.35 mm", "0.635 cm"])
def test_a_quarter_inch_is_not_over_a_quarter_inch_however_it_is_written(text):
    lip = read_quantity(text, Kind.SMALL_LENGTH, system=System.SI).si / 1000
    assert grade("lip", Measured(lip_m=lip)).severity == MODERATE
    assert grade("crack", Measured(crack_width_m=0.001, lip_m=lip)).severity == MODERATE


@pytest.mark.parametrize(
    ("kind", "measures", "severity"),
    [
        ("raveling", {"frame_points": 4, "stones_deep": 1}, LOW),
        ("raveling", {"frame_points": 4, "stones_deep": 2}, HIGH),
        ("raveling", {"frame_points": 20, "stone_at_third_sweep": True}, HIGH),
        ("raveling", {"frame_points": 20, "stone_at_third_sweep": False}, MODERATE),
        ("edge_raveling", {"width_m": 0.02, "depth_m": 0.03}, HIGH),
        ("edge_raveling", {"width_m": 0.02, "depth_m": INCH}, LOW),
        ("sealed_spot", {"area_m2": 0.05, "is_at_run_on_edge": True}, HIGH),
        ("clogged", {"water_minutes": 5, "is_below_action_level": True}, HIGH),
        ("crack", {"crack_width_m": 0.001, "lip_m": 0.001}, MODERATE),
        ("crack", {"crack_width_m": 0.001, "lip_m": 0.0, "ravels_to_m": 3 * INCH}, MODERATE),
        ("crack", {"crack_width_m": 0.001, "lip_m": 0.0, "ravels_to_m": 3.1 * INCH}, HIGH),
        ("crack", {"crack_width_m": 0.001, "lip_m": 0.0, "ravels_to_m": 0.0}, LOW),
        ("corner_break", {"lip_m": 0.0, "moves": False}, LOW),
        ("corner_break", {"lip_m": 0.002, "moves": False}, MODERATE),
        ("corner_break", {"lip_m": 0.007}, HIGH),
        ("corner_break", {"lip_m": 0.25 * INCH}, MODERATE),
        ("corner_break", {"lip_m": 0.251 * INCH}, HIGH),
        ("crack", {"crack_width_m": 0.001, "lip_m": 0.25 * INCH}, MODERATE),
        ("crack", {"crack_width_m": 0.001, "lip_m": 0.251 * INCH}, HIGH),
        ("edge_raveling", {"width_m": 0.02, "depth_m": 1.001 * INCH}, HIGH),
        ("abrasion", {"frame_points": 5, "stones_deep": 2}, HIGH),
        ("abrasion", {"frame_points": 5, "stone_at_third_sweep": True}, HIGH),
        ("plow_scrape", {"has_broken_stones": False}, LOW),
        ("scaling", {"stones_deep": 0.499}, LOW),
        ("corner_break", {"moves": True}, HIGH),
        ("settlement", {"depth_m": 0.005, "holds_water": True}, HIGH),
        ("scaling", {"stones_deep": 0.2}, LOW),
        ("scaling", {"stones_deep": 0.5}, MODERATE),
        ("scaling", {"stones_deep": 0.5, "is_loose": True}, HIGH),
        ("plow_scrape", {"has_broken_stones": False, "depth_m": 0.25 * INCH}, LOW),
        ("plow_scrape", {"has_broken_stones": True}, MODERATE),
        ("plow_scrape", {"depth_m": 0.26 * INCH}, HIGH),
        ("abrasion", {"frame_points": 0}, LOW),
        ("abrasion", {"frame_points": 10}, MODERATE),
        ("abrasion", {"frame_points": 11}, HIGH),
        ("spall", {"width_m": 0.01, "is_loose": True}, HIGH),
        ("stain", {"pours": "normal"}, LOW),
        ("stain", {"pours": "slow"}, MODERATE),
        ("stain", {"pours": "sealed"}, HIGH),
        ("growth", {"panel_share": 0.02, "is_slippery": True}, HIGH),
        ("joint_stone_low", {"depth_m": 0.005, "moves": True}, HIGH),
        ("edge_loss", {"has_void": False}, MODERATE),
        ("edge_loss", {"has_void": True}, HIGH),
    ],
)
def test_of_two_measures_the_worse_counts(kind, measures, severity):
    assert grade(kind, Measured(**measures)).severity == severity


@pytest.mark.parametrize("kind", [k for k in KINDS if LIMITS[k]])
def test_what_decides_and_was_not_measured_gives_no_severity(kind):
    found = grade(kind, Measured(area_m2=None, swept_kg=0.4))
    assert found.severity == ""
    assert found.rule == ""
    assert found.why_not.startswith("not graded: not measured or said: ")


def test_a_crack_without_its_width_says_so_and_what_it_is_at_least():
    found = grade("crack", Measured(lip_m=0.003))
    assert found.why_not == (
        "not graded: not measured or said: width at the widest place; "
        "at least moderate: lip up to 1/4 in (6.4 mm)"
    )


def test_a_severity_with_something_unmeasured_is_at_least_that_one():
    least = grade("crack", Measured(crack_width_m=0.001, ravels_to_m=0.0))
    whole = grade("crack", Measured(crack_width_m=0.001, ravels_to_m=0.0, lip_m=0.0))
    assert (least.severity, least.is_least, least.unmeasured) == (LOW, True, ("lip",))
    assert (whole.severity, whole.is_least) == (LOW, False)


def test_high_cannot_be_made_worse_by_what_was_not_measured():
    assert not grade("crack", Measured(crack_width_m=0.02)).is_least


def test_discoloration_is_never_above_low_and_ponding_is_sent_to_base_and_grade():
    assert grade("discoloration", Measured(area_m2=400.0)).severity == LOW
    assert "look at base, grade and outlet" in grade("ponding", Measured(water_minutes=90)).why_not


def test_sealed_spots_are_graded_each_and_several_together_only_where_it_makes_no_difference():
    three_small = grade("sealed_spot", Measured(area_m2=0.9 * FOOT2, count=3))
    three_unsure = grade("sealed_spot", Measured(area_m2=12 * FOOT2, count=3))
    assert three_small.severity == LOW
    assert three_unsure.severity == ""
    assert "write the largest one by itself" in three_unsure.why_not


def test_a_grade_names_the_source_of_its_limits():
    assert grade("raveling", Measured(frame_points=3)).source == Source.TRADE
    assert grade("crack", Measured(crack_width_m=0.004)).source == Source.DISTRESS
    assert grade("lip", Measured(lip_m=0.009)).source == Source.ADA


# From a record of ten invented lots, severities as an inspector gave them by the same table.
@pytest.mark.parametrize(
    ("kind", "measures", "severity"),
    [
        ("prints", {"depth_m": INCH / 8, "count": 8}, LOW),
        ("settlement", {"depth_m": 0.3 * INCH}, LOW),
        ("settlement", {"depth_m": 0.5 * INCH}, MODERATE),
        ("settlement", {"depth_m": 0.8 * INCH}, HIGH),
        ("edge_raveling", {"width_m": 9 * INCH}, HIGH),
        ("joint_stone_low", {"depth_m": 0.75 * INCH}, MODERATE),
        ("corner_break", {"lip_m": 0.002, "moves": True}, HIGH),
        ("lip", {"lip_m": 0.10 * INCH}, LOW),
        ("lip", {"lip_m": 0.20 * INCH}, MODERATE),
        ("lip", {"lip_m": 0.35 * INCH}, HIGH),
        ("sealed_spot", {"area_m2": 12 * FOOT2}, HIGH),
        ("crack", {"crack_width_m": 0.0015, "lip_m": 0.0}, LOW),
    ],
)
def test_worked_observations_have_the_severity_an_inspector_gave(kind, measures, severity):
    assert grade(kind, Measured(**measures)).severity == severity


NUMBERS = {limit.field for limits in LIMITS.values() for limit in limits} - {
    "pours", "has_void", "moves", "is_loose", "holds_water", "is_slippery", "has_broken_stones",
    "is_below_action_level", "is_at_run_on_edge", "stone_at_third_sweep",
}  # fmt: skip
TOP = {"frame_points": 100, "panel_share": 1, "water_minutes": 200, "stones_deep": 4}


def measures_of(kind: str) -> st.SearchStrategy[dict]:
    def value(field: str) -> st.SearchStrategy:
        if field == "pours":
            return st.sampled_from(POURS)
        if field in NUMBERS:
            return st.floats(0, TOP.get(field, 0.3))
        return st.booleans()

    return st.fixed_dictionaries({limit.field: value(limit.field) for limit in LIMITS[kind]})


def worse_by(field: str, value, other):
    if field == "pours":
        return max(value, other, key=POURS.index)
    return max(value, other)


@given(st.data(), st.sampled_from([kind for kind in KINDS if LIMITS[kind]]))
def test_more_of_anything_measured_never_makes_it_milder(data, kind):
    one, other = data.draw(measures_of(kind)), data.draw(measures_of(kind))
    more = {field: worse_by(field, one[field], other[field]) for field in one}
    before, after = grade(kind, Measured(**one)), grade(kind, Measured(**more))
    assert SEVERITIES.index(after.severity) >= SEVERITIES.index(before.severity)


@given(st.data(), st.sampled_from([kind for kind in KINDS if LIMITS[kind]]))
def test_leaving_a_measure_out_never_makes_it_worse_and_never_silently_milder(data, kind):
    whole = data.draw(measures_of(kind))
    left_out = data.draw(st.sampled_from(sorted(whole)))
    full = grade(kind, Measured(**whole))
    part = grade(kind, Measured(**{f: v for f, v in whole.items() if f != left_out}))
    assume(part.severity)
    rank = SEVERITIES.index
    assert rank(part.severity) <= rank(full.severity)
    assert part.is_least or part.severity == full.severity


def test_a_severity_given_by_eye_that_the_measures_bear_out_raises_no_doubt():
    assert compare(HIGH, grade("lip", Measured(lip_m=0.009))) == ""
    assert compare(LOW, Grade("", why_not="not graded")) == ""


def test_a_severity_given_by_eye_against_the_measures_is_doubted_with_the_rule():
    assert compare(LOW, grade("lip", Measured(lip_m=0.009))) == (
        "By eye low; by the measures high (over 1/4 in (6.4 mm)). "
        "Look again and decide which holds."
    )


def test_a_graver_eye_asks_for_what_was_not_measured():
    doubt = compare(HIGH, grade("crack", Measured(crack_width_m=0.001, ravels_to_m=0.0)))
    assert doubt == (
        "By eye high; by the measures at least low (under 3 mm (0.12 in) wide; edges do not "
        "ravel). Not measured: lip. Measure and decide."
    )


def test_a_word_that_is_no_severity_is_refused():
    with pytest.raises(MeasureError, match="low, moderate, high"):
        compare("bad", Grade(LOW))
