"""Signs the record fills by itself, for panels of the dispute, into the table of `defects`."""

from datetime import date

import pytest

from registry.defects import RAVELING_SIGNS, evidence_for
from registry.placing import (
    FROM_RECORD,
    Answer,
    Look,
    NotGiven,
    PanelRecord,
    PlacingError,
    density_check,
    facts_with,
    fill_from_record,
)
from registry.units import System
from tests.placing.test_dated_looks import looks

UNSAID = Answer(None, "nobody looked")


def record(panel: str, **other) -> PanelRecord:
    usual = {
        "panel": panel, "placed_on": date(2023, 8, 22), "looks": looks(panel),
        "follows_loads": UNSAID, "worst_late": UNSAID, "sheet_gap": UNSAID,
        "in_winter_zone": False,
    }  # fmt: skip
    return PanelRecord(**(usual | other))


def found_of(filled) -> dict[str, bool | None]:
    return {one.code: one.found for one in filled}


def test_each_is_marked_as_filled_from_the_record_with_its_reason():
    filled = fill_from_record(record("C8"))
    assert {one.mark for one in filled} == {FROM_RECORD} == {"filled from the record"}
    assert all(one.why for one in filled)
    assert [one.code for one in filled] == [c for c in RAVELING_SIGNS if c in found_of(filled)]
    assert all(one.label == RAVELING_SIGNS[one.code].label for one in filled)


def test_only_what_a_record_can_say_is_filled():
    by_hand = {"same_along_edges", "blade_lines", "wheel_tracks", "bare_dull_loose"}
    assert not by_hand & set(found_of(fill_from_record(record("C8"))))


def test_c11_shows_both_causing_seasons():
    """35 % before any winter, and 6 points in it, inside the plow and salt zone."""
    filled = found_of(fill_from_record(record("C11", in_winter_zone=True)))
    assert filled["starts_early"] is True
    assert filled["jumps_in_winter"] is True
    assert filled["at_entrance"] is True


def test_d10_shows_the_winter_alone_and_leaves_its_start_open():
    filled = found_of(fill_from_record(record("D10", in_winter_zone=True)))
    assert (filled["starts_early"], filled["jumps_in_winter"]) == (None, True)


def test_without_a_winter_log_the_zone_stays_open():
    assert found_of(fill_from_record(record("C8", in_winter_zone=None)))["at_entrance"] is None
    words = fill_from_record(record("D11", in_winter_zone=True, winter_words="Rock salt, 75 lb."))
    assert "Rock salt, 75 lb." in [one.why for one in words]


@pytest.mark.parametrize(
    ("check", "found"),
    [
        (None, None),
        (NotGiven("The density is missing."), None),
        (density_check(118.4, 121.5, System.INCH_POUND), False),
        (density_check(116.0, 121.5, System.INCH_POUND), True),
        (density_check(127.0, 121.5, System.INCH_POUND), False),
    ],
)
def test_a_core_is_low_only_below_the_tolerance(check, found):
    assert found_of(fill_from_record(record("C8", core_density=check)))["core_density_low"] is found


def test_the_facts_go_straight_into_the_table_and_what_is_open_stays_open():
    filled = fill_from_record(record("C8", follows_loads=Answer(True, "7 of 7")))
    facts, differing = facts_with(filled, {"bare_dull_loose": True})
    evidence = evidence_for(facts, load_limits_known=True)
    (late,) = [one for one in evidence.causes if one.cause == "covered_late"]
    assert {one.sign for one in late.speaks_for} == {
        "starts_early", "follows_loads", "bare_dull_loose"
    }  # fmt: skip
    assert RAVELING_SIGNS["sheet_gap"].label in evidence.not_known
    assert differing == ()


def test_a_persons_word_stands_and_the_difference_is_shown():
    filled = fill_from_record(record("C8"))
    facts, differing = facts_with(filled, {"starts_early": False, "jumps_in_winter": None})
    assert facts["starts_early"] is False
    assert facts["jumps_in_winter"] is False
    (one,) = differing
    assert (one.code, one.by_person, one.by_record) == ("starts_early", False, True)
    assert "38 % on 2023-10-03" in one.why


def test_what_a_person_says_where_the_record_is_open_is_no_disagreement():
    facts, differing = facts_with(fill_from_record(record("D10")), {"starts_early": False})
    assert facts["starts_early"] is False
    assert differing == ()


def test_a_sign_that_is_not_of_the_table_is_refused():
    with pytest.raises(PlacingError, match="not a sign"):
        facts_with((), {"salt": True})


def test_looks_of_two_methods_are_refused():
    mixed = [*looks("C8")[:2], Look(date(2024, 10, 9), 0.4, "eye")]
    with pytest.raises(PlacingError):
        fill_from_record(record("C8", looks=mixed))
