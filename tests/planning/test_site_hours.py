"""N21 against worked examples and the invented town."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.planning.faults import PlanningError
from registry.planning.site_hours import machine_hours, site_hours
from tests.planning.demo_table import FT2, MPH, number, rows

ROUND = rows("3G_crew_round.csv")


def test_worked_example_7200_ft2_take_2_27_and_2_9_hours():
    machine = machine_hours(7200 * FT2, 1, 4 * 0.3048, 0.25 * MPH, 0.60)
    hours = site_hours(machine, edges_h=0.8, set_up_h=0.6, dump_and_water_h=1.5)
    assert round(hours.machine_h, 2) == 2.27
    assert round(hours.total_h, 1) == 5.2


@pytest.mark.parametrize("row", ROUND, ids=lambda row: row["town no."])
def test_table_7_3_g_prints_these_hours(row):
    machine = machine_hours(
        number(row["area ft²"]) * FT2,
        int(row["passes"]),
        float(row["head width ft"]) * 0.3048,
        float(row["speed mph"]) * MPH,
        float(row["efficiency"]),
    )
    hours = site_hours(
        machine,
        edges_h=float(row["hand edges h"]),
        set_up_h=float(row["set-up h"]),
        dump_and_water_h=float(row["dump, water h"]),
    )
    # The table prints two decimals.
    assert hours.machine_h == pytest.approx(float(row["machine h"]), abs=0.005)
    assert hours.total_h == pytest.approx(float(row["total h (no travel)"]), abs=0.005)


@given(
    st.floats(1, 1e5), st.integers(1, 5), st.floats(0.3, 4), st.floats(0.1, 10), st.floats(0.1, 1)
)
def test_one_pass_more_never_takes_less_time(area, passes, width, speed, share):
    one = machine_hours(area, passes, width, speed, share)
    assert machine_hours(area, passes + 1, width, speed, share) > one


@pytest.mark.parametrize(
    "given_", [(0, 1, 1, 1, 1), (1, 0, 1, 1, 1), (1, 1, 0, 1, 1), (1, 1, 1, 1, 1.1)]
)
def test_what_cannot_be_is_refused(given_):
    with pytest.raises(PlanningError):
        machine_hours(*given_)


def test_negative_hand_work_is_refused():
    with pytest.raises(PlanningError, match="hand edges"):
        site_hours(1.0, edges_h=-0.1)
