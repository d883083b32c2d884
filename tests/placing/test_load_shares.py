"""Loads over panels and raveled share by load (N17): tables 1D and 1E as printed."""

import itertools
from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.placing import (
    NotGiven,
    PlacingError,
    Spread,
    change_by_load,
    lay_over,
    raveled_by_load,
)
from registry.placing import evaporation as evaporation_of
from registry.plan import CutAcross, grid
from registry.plan.panels import cut_panel
from tests.placing import dispute

LOADS = {row["load"]: row for row in dispute.table("1C_loads")}
FT2_M2 = dispute.FOOT_M**2


def by_load(on: date) -> dict[str, float]:
    raveled = dispute.raveled(on)
    return raveled_by_load(dispute.shares(), raveled, dispute.taped(raveled))


@pytest.mark.parametrize("row", dispute.table("1D_panels"), ids=lambda row: row["panel"])
def test_table_1d_shares_lag_and_evaporation_of_every_panel_as_printed(row):
    shares, panel = dispute.shares(), row["panel"]
    assert shares.words_of(panel) == row["loads (share of panel)"]
    lag = shares.over_panel(panel, {load: float(r[dispute.LAG]) for load, r in LOADS.items()})
    assert f"{lag:.1f}" == row["min discharge to cover, area-weighted"]
    drying = {load: evaporation_of(dispute.weather(r)).value for load, r in LOADS.items()}
    assert round(shares.over_panel(panel, drying), 3) == float(row["evaporation lb/ft²/h"])


@pytest.mark.parametrize("row", dispute.table("1E_by_load"), ids=lambda row: row["load"])
def test_table_1e_raveled_share_and_area_of_every_load_as_printed(row):
    early, spring = by_load(dispute.EARLY), by_load(dispute.SPRING)
    change = change_by_load(early, spring)[row["load"]]
    assert f"{100 * early[row['load']]:.1f}" == row["raveled % at 6 weeks"]
    assert f"{100 * change:+.1f}" == row["change over first winter, points"]
    area = dispute.shares().area_of(row["load"]) / FT2_M2
    assert f"{area:.0f}" == row["area ft²"]


def test_the_whole_lot_is_filled_and_nothing_lies_beyond():
    shares = dispute.shares()
    assert shares.unfilled() == ()
    assert shares.off_panel == ()
    assert sum(shares.area_of(load) for load in shares.loads) / FT2_M2 == pytest.approx(6336)


def test_a_panel_that_no_load_accounts_for_is_named():
    shares = lay_over(dispute.spreads()[:-1], dispute.panels())
    assert [panel for panel, _ in shares.unfilled()] == ["D10", "D11"]
    assert dict(shares.unfilled())["D11"] == pytest.approx(1)
    assert shares.words_of("D11") == ""
    assert isinstance(shares.over_panel("D11", {}), NotGiven)


def test_feet_beyond_the_last_joint_are_shown_not_cut_off_in_silence():
    far = Spread("18", "D", 132 * dispute.FOOT_M, 142 * dispute.FOOT_M)
    shares = lay_over([far], dispute.panels())
    ((load, area),) = shares.off_panel
    assert (load, area / FT2_M2) == ("18", pytest.approx(120))
    assert isinstance(shares.over_load("18", {}), NotGiven)


def test_two_loads_on_the_same_feet_are_refused_by_name():
    double = [*dispute.spreads(), Spread("19", "A", 10, 12)]
    with pytest.raises(PlacingError, match="Loads 2 and 19 lie on each other in lane A"):
        lay_over(double, dispute.panels())


@pytest.mark.parametrize(
    ("spread", "words"),
    [(("1", "E", 0, 5), "no lane E"), (("1", "A", 5, 5), "beyond"), (("1", "A", 5, 1), "beyond")],
)
def test_a_spread_that_cannot_be_is_refused(spread, words):
    with pytest.raises(PlacingError, match=words):
        lay_over([Spread(*spread)], dispute.panels())


def test_a_lane_that_curves_is_refused():
    panels = [replace(dispute.panels()[0], turned_deg=5.0)]
    with pytest.raises(PlacingError, match="A1 lies in a curve"):
        lay_over([Spread("1", "A", 0, 3)], panels)


def test_a_saw_cut_panel_is_counted_by_its_parts():
    (panel,) = grid(1, 1, 4.0, 4.0)
    _, home, far = cut_panel(panel, date(2024, 1, 1), 2.0, CutAcross.AT_UP)
    shares = lay_over([Spread("1", "A", 0, 1), Spread("2", "A", 1, 4)], [home, far])
    assert shares.words_of("A1a") == "1 (50%)+2 (50%)"
    assert shares.words_of("A1b") == "2 (100%)"


def test_a_load_that_was_graded_in_two_ways_gets_no_number():
    raveled = dispute.raveled(dispute.EARLY)
    methods = dispute.taped(raveled) | {"C6": "eye"}
    found = raveled_by_load(dispute.shares(), raveled, methods)
    assert found["7"] == NotGiven("Graded by eye and outline: show them side by side only.")
    assert isinstance(found["8"], float)


def test_a_load_with_a_panel_nobody_looked_at_gets_no_number():
    raveled = {p: share for p, share in dispute.raveled(dispute.EARLY).items() if p != "C6"}
    found = raveled_by_load(dispute.shares(), raveled, dispute.taped(raveled))
    assert isinstance(found["7"], NotGiven)
    assert isinstance(change_by_load(found, found)["7"], NotGiven)
    assert change_by_load(found, found)["8"] == 0


CUTS = st.lists(st.floats(0.05, 39.5), min_size=1, max_size=12, unique=True)


@given(CUTS, st.integers(1, 5))
def test_shares_of_a_panel_never_exceed_the_whole_and_areas_are_kept(cuts, modulus):
    """Random joints between spreads, some left out; every panel filled at most once."""
    ends = sorted({0.0, 40.0, *(round(cut, 1) for cut in cuts)})
    spans = [
        Spread(str(n), "A", low, high)
        for n, (low, high) in enumerate(itertools.pairwise(ends))
        if n == 0 or n % modulus
    ]
    shares = lay_over(spans, grid(1, 10, 3.0, 4.0))
    for panel in shares.areas_m2:
        assert sum(piece.share for piece in shares.of_panel(panel)) <= 1 + 1e-9
        percents = [
            int(w.split("(")[1].rstrip("%)")) for w in shares.words_of(panel).split("+") if w
        ]
        assert sum(percents) <= 100
    laid = sum(3.0 * (one.to_m - one.from_m) for one in spans)
    assert sum(shares.area_of(load) for load in shares.loads) == pytest.approx(laid, abs=0.3)
