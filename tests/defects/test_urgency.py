"""What has to be made safe today. Limits: ADA standards 303, from memory; reasons why cracks
matter: common practice, no source."""

import pytest

from registry.defects import (
    KINDS,
    CrackFacts,
    Measured,
    UnknownKind,
    crack_advice,
    crack_reasons,
    urgent,
)

INCH = 0.0254


def lip(inches: float) -> Measured:
    return Measured(lip_m=inches * INCH)


@pytest.mark.parametrize("inches", [0.26, 0.35, 0.6])
def test_a_lip_over_a_quarter_inch_on_an_accessible_route_is_for_today(inches):
    found = urgent("lip", lip(inches), True)
    assert (found.is_urgent, found.act_by) == (True, "today")
    assert found.caution


def test_a_lip_is_told_in_inches_and_millimetres():
    assert urgent("lip", lip(0.35), True).why == (
        "The lip of 0.35 in (8.9 mm) is over 1/4 in (6.4 mm) on an accessible route. Untreated "
        "that is not allowed; up to 1/2 in (12.7 mm) a bevel of 1:2 may do: act today."
    )


def test_a_high_lip_is_shown_to_the_tenth_of_a_millimetre():
    # 1.1 in is 27.94 mm by the exact factor of NIST SP 811.
    assert "1.10 in (27.9 mm)" in urgent("lip", lip(1.1), True).why


def test_a_lip_over_half_an_inch_needs_a_ramp_and_half_an_inch_does_not():
    assert "needs a ramp" in urgent("lip", lip(0.51), True).why
    assert "needs a ramp" not in urgent("lip", lip(0.5), True).why


@pytest.mark.parametrize("route", [True, False, None])
def test_a_quarter_inch_itself_is_not_urgent(route):
    assert urgent("lip", Measured(lip_m=6.35 / 1000), route).is_urgent is False


def test_a_lip_on_an_unknown_route_is_not_decided_and_asks():
    found = urgent("lip", lip(0.35), None)
    assert found.is_urgent is None
    assert "Not decided: is this an accessible route?" in found.why


@pytest.mark.parametrize("kind", ["lip", "crack", "corner_break"])
@pytest.mark.parametrize("route", [True, None])
def test_a_lip_that_nobody_measured_is_not_decided(kind, route):
    found = urgent(kind, Measured(), route)
    assert found.is_urgent is None
    assert "the lip is not measured" in found.why
    assert ("Is this an accessible route?" in found.why) == (route is None)


def test_a_lip_off_the_route_is_not_urgent_but_people_may_trip():
    found = urgent("lip", lip(0.35), False)
    assert (found.is_urgent, found.act_by) == (False, "")
    assert "do they walk here?" in found.why


def test_a_lip_counts_whatever_the_kind_is_called():
    assert urgent("settlement", lip(0.35), True).is_urgent is True


@pytest.mark.parametrize("route", [True, None])
def test_a_deep_spall_on_a_route_is_not_passed_over_in_silence(route):
    assert "change in level" in urgent("spall", Measured(depth_m=0.02), route).caution
    assert urgent("spall", Measured(depth_m=0.02), False).caution == ""


@pytest.mark.parametrize("kind", KINDS)
def test_no_kind_is_called_urgent_without_a_measured_lip(kind):
    assert urgent(kind, Measured(), True).is_urgent is not True


def test_a_kind_that_is_none_is_refused():
    with pytest.raises(UnknownKind):
        urgent("hole", lip(1), True)


@pytest.mark.parametrize(
    ("measured", "facts", "words"),
    [
        (lip(0.3), CrackFacts(), "Lip over 1/4 in"),
        (Measured(moves=True), CrackFacts(), "rocks"),
        (Measured(), CrackFacts(lip_growth_m_a=0.0017), "grows over 1/16 in"),
        (Measured(ravels_to_m=0.03), CrackFacts(), "ravel wider than 1 in"),
        (Measured(), CrackFacts(follows="trench"), "follows a trench: look at the base"),
        (Measured(), CrackFacts(piece_m=1.2), "pieces under 4 ft"),
        (Measured(), CrackFacts(age_days=28, cracked_share=0.11), "first 28 days"),
        (Measured(), CrackFacts(is_map=True), "forms a map"),
    ],
)
def test_each_reason_why_a_crack_matters_is_given_by_itself(measured, facts, words):
    (reason,) = crack_reasons(measured, True, facts)
    assert words in reason


@pytest.mark.parametrize(
    "facts",
    [
        CrackFacts(lip_growth_m_a=INCH / 16),
        CrackFacts(piece_m=4 * 0.3048),
        CrackFacts(age_days=29, cracked_share=0.5),
        CrackFacts(age_days=3, cracked_share=0.10),
        CrackFacts(age_days=3),
        CrackFacts(),
    ],
)
def test_at_its_limit_or_unknown_nothing_is_a_reason(facts):
    at_limits = Measured(lip_m=0.25 * INCH, ravels_to_m=INCH, moves=False)
    assert crack_reasons(at_limits, True, facts) == ()


def test_a_lip_on_an_unknown_route_says_that_nobody_has_said():
    (reason,) = crack_reasons(lip(0.3), None, CrackFacts())
    assert reason.endswith("nobody has said whether people walk here.")


def test_a_tight_crack_in_a_jointed_panel_is_looked_at_yearly():
    tight = Measured(crack_width_m=0.001, lip_m=0.0)
    assert "look yearly" in crack_advice(tight, CrackFacts(is_jointed=True))[0]
    for wider in (Measured(crack_width_m=0.003, lip_m=0.0), Measured(crack_width_m=0.001)):
        assert len(crack_advice(wider, CrackFacts(is_jointed=True))) == 1


def test_nobody_is_told_to_seal_a_crack_without_asking_for_the_water():
    assert "which path of the water" in crack_advice(Measured(), CrackFacts())[-1]
