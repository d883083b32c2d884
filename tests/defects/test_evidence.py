"""Evidence on raveling, listed and not summed. Common practice, no source."""

from dataclasses import fields

import pytest

from registry.defects import CAUSES, RAVELING_SIGNS, CannotCompare, Evidence, evidence_for
from registry.defects.evidence import CAUTIONS, SIGNS, UNDECIDED, ForCause


def strengths(evidence: Evidence, cause: str) -> tuple[list[str], list[str]]:
    (found,) = [one for one in evidence.causes if one.cause == cause]
    return [s.strength for s in found.speaks_for], [s.strength for s in found.against]


def test_every_row_of_the_table_speaks_of_every_cause():
    assert len(CAUSES) == 10
    assert {len(sign.cells) for sign in RAVELING_SIGNS.values()} == {10}
    assert {cell for sign in RAVELING_SIGNS.values() for cell in sign.cells} == {"0", *SIGNS}


@pytest.mark.parametrize(
    ("sign", "cause", "cell"),
    [
        ("starts_early", "covered_late", "++"),
        ("starts_early", "salt_frost", "--"),
        ("jumps_in_winter", "plow", "++"),
        ("grows_all_year", "wear", "++"),
        ("follows_loads", "edge_work", "-"),
        ("worst_late_in_day", "too_wet", "-"),
        ("same_along_edges", "edge_work", "++"),
        ("blade_lines", "plow", "++"),
        ("at_entrance", "salt_frost", "++"),
        ("wheel_tracks", "wear", "++"),
        ("bare_dull_loose", "too_wet", "--"),
        ("shiny_closed", "too_wet", "++"),
        ("sound_below", "salt_frost", "++"),
        ("sheet_gap", "sheet_lost", "++"),
        ("sheet_rectangle", "dirt", "--"),
    ],
)
def test_cells_of_the_table_are_as_the_trade_reads_them(sign, cause, cell):
    assert RAVELING_SIGNS[sign].cells[list(CAUSES).index(cause)] == cell


def test_what_speaks_for_and_against_stands_side_by_side():
    evidence = evidence_for({"jumps_in_winter": True, "starts_early": True})
    assert strengths(evidence, "salt_frost") == (["++"], ["--"])
    assert strengths(evidence, "wear") == ([], ["-"])


def test_two_causes_may_both_be_spoken_for():
    evidence = evidence_for({"starts_early": True, "jumps_in_winter": True, "at_entrance": True})
    assert strengths(evidence, "covered_late")[0] == ["++"]
    assert strengths(evidence, "salt_frost")[0] == ["++", "++"]


def test_there_is_no_total_no_verdict_and_no_order_by_weight():
    names = {field.name for kind in (Evidence, ForCause) for field in fields(kind)}
    assert names == {
        "causes", "not_so", "not_known", "cautions", "cause", "label", "speaks_for", "against",
    }  # fmt: skip
    for facts in ({}, dict.fromkeys(RAVELING_SIGNS, True), {"blade_lines": True}):
        assert [one.cause for one in evidence_for(facts).causes] == list(CAUSES)


def test_what_is_not_there_and_what_nobody_looked_for_say_nothing():
    evidence = evidence_for({"blade_lines": False, "sheet_gap": None})
    assert all(one.speaks_for == one.against == () for one in evidence.causes)
    assert evidence.not_so == ("lines, one direction, blade width",)
    assert "sheet log shows a gap at these panels" in evidence.not_known
    assert len(evidence.not_known) == len(RAVELING_SIGNS) - 1


def test_wheel_tracks_speak_for_early_traffic_only_with_a_date():
    evidence = evidence_for({"wheel_tracks": True})
    (early,) = [one for one in evidence.causes if one.cause == "early_traffic"]
    assert early.speaks_for[0].words == (
        "two wheel tracks: speaks strongly for it if dated before release"
    )


@pytest.mark.parametrize("nothing", [None, False])
def test_without_a_dated_picture_and_load_limits_it_is_undecided(nothing):
    evidence = evidence_for({}, photo_before_first_winter=nothing, load_limits_known=nothing)
    assert evidence.cautions == (UNDECIDED, *CAUTIONS)
    assert "Core one sound and one raveled spot" in UNDECIDED


@pytest.mark.parametrize("known", ["photo_before_first_winter", "load_limits_known"])
def test_with_either_of_them_the_usual_cautions_stand(known):
    assert evidence_for({}, **{known: True}).cautions == CAUTIONS


def test_a_sign_that_is_not_in_the_table_is_refused():
    with pytest.raises(CannotCompare, match="“magic” is not a sign"):
        evidence_for({"magic": True})
