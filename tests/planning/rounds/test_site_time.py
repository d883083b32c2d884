"""Time on site, N21, against the town's own table and the worked check of the number sheet."""

import csv
from math import ceil
from pathlib import Path

import pytest

from registry.planning.rounds.crew import Machine
from registry.planning.rounds.faults import RoundError
from registry.planning.rounds.site_time import machine_minutes, site_minutes

FT, FT2, MPH = 0.3048, 0.3048**2, 0.44704
TABLE = Path(__file__).parents[3] / "fixtures" / "demo" / "3G_crew_round.csv"


def rows() -> list[dict[str, str]]:
    with TABLE.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def machine(row: dict[str, str]) -> Machine:
    return Machine(
        methods=frozenset({row["method"]}),
        head_width_m=float(row["head width ft"]) * FT,
        speed_m_s=float(row["speed mph"]) * MPH,
        efficiency=float(row["efficiency"]),
    )


@pytest.mark.parametrize("row", rows(), ids=lambda row: row["town no."])
def test_time_on_site_against_the_table_of_the_town(row):
    area_m2, passes = float(row["area ft²"].replace(",", "")) * FT2, int(row["passes"])
    hours = machine_minutes(area_m2, passes, machine(row)) / 60
    assert hours == pytest.approx(float(row["machine h"]), abs=0.005)
    minutes = site_minutes(
        area_m2,
        passes,
        machine(row),
        edges_minutes=60 * float(row["hand edges h"]),
        set_up_minutes=60 * float(row["set-up h"]),
        dump_and_water_minutes=60 * float(row["dump, water h"]),
    )
    # The table rounds to 0.01 h; minutes are rounded up.
    assert 0 <= minutes - 60 * float(row["total h (no travel)"]) < 1.3
    assert minutes >= ceil(60 * hours)


def test_the_worked_check_of_the_number_sheet():
    """7 200 ft², head 4 ft, 0.25 mph, efficiency 0.60, edges 0.8, set-up 0.6, dump and water 1.5:
    2.27 + 2.9 = 5.2 h."""
    wash = Machine(
        methods=frozenset({"wash"}), head_width_m=4 * FT, speed_m_s=0.25 * MPH, efficiency=0.6
    )
    minutes = site_minutes(
        7200 * FT2, 1, wash, edges_minutes=48, set_up_minutes=36, dump_and_water_minutes=90
    )
    assert minutes == 311
    assert round(minutes / 60, 1) == 5.2


def test_a_whole_minute_is_not_rounded_up_by_a_hair():
    one = Machine(methods=frozenset({"x"}), head_width_m=1, speed_m_s=1, efficiency=1)
    assert site_minutes(600, 1, one, edges_minutes=0.1 + 0.2, set_up_minutes=0.7) == 11


def test_what_cannot_be_is_refused():
    one = Machine(methods=frozenset({"x"}))
    for area, passes in ((0, 1), (10, 0)):
        with pytest.raises(RoundError):
            site_minutes(area, passes, one)
    with pytest.raises(RoundError):
        site_minutes(10, 1, one, edges_minutes=-1)
    for wrong in (
        {"head_width_m": 0},
        {"efficiency": 1.1},
        {"hopper_l": 0},
        {"methods": frozenset()},
    ):
        with pytest.raises(RoundError):
            Machine(**{"methods": frozenset({"x"})} | wrong)
