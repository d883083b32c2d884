"""Nonsense as record files through the commands: a stated result or a stated refusal, no warning.

Warnings are errors in this suite, so one scrolled past would stop these.
"""

import csv
import json
import math
from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from registry.models import Cleaning, InfiltrationTest
from tests import factories

pytestmark = pytest.mark.django_db
OWNER = "Odd owner"
LOT = {"ref": "P1", "name": "Lot", "site": "Site", "surface": "pervious_concrete",
       "placed_on": "2020-01-01", "area_m2": "500", "action_rate_mm_h": "254"}  # fmt: skip
RUN = {"pavement_ref": "P1", "point": "T1", "stratum": "field", "started_at": "2024-05-02T09:00",
       "method": "c1701", "ring_mm": "300", "water_kg": "3.6", "seconds": "200",
       "ended": "drained", "prewet_kg": "3.6", "prewet_seconds": "40",
       "rain_within_24_h": "no", "run": "1"}  # fmt: skip
SWEEP = {"pavement_ref": "P1", "done_at": "2024-01-01T08:00", "method": "vacuum"}


def run(**changes):
    return {**RUN, **changes}


def put(path, row, rows):
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, list(row))
        writer.writeheader()
        writer.writerows(rows)


def bring_in(folder, runs=(), sweeps=(), **lot):
    """Return what the import said, on both ways out."""
    factories.OrganisationFactory(name=OWNER, usual_role="owner")
    put(folder / "pavements.csv", LOT, [{**LOT, **lot}])
    put(folder / "infiltration_tests.csv", RUN, runs)
    put(folder / "sweeps.csv", SWEEP, sweeps)
    out, err = StringIO(), StringIO()
    try:
        call_command("import_records", str(folder), "--for", OWNER, stdout=out, stderr=err)
    except CommandError as fault:
        err.write(str(fault))
    return out.getvalue() + err.getvalue()


def command(name, folder, as_of):
    file, out = folder / f"{name}.json", StringIO()
    call_command(name, "--as-of", as_of, "--json", str(file), stdout=out)
    data = json.loads(file.read_text(encoding="utf-8"), parse_constant=pytest.fail)
    return out.getvalue(), data


def foretold(folder, as_of="2026-06-30"):
    """(what was printed, the lot's outlook or None, the file, the back-test of its pool)."""
    said, data = command("refresh_outlooks", folder, as_of)
    _, tested = command("backtest_outlooks", folder, as_of)
    return said, data["pavements"].get("P1"), data, tested["pools"].get(f"{OWNER}, own pavements")


def is_whole(place):
    """Every number is finite, chances are chances, and the interval holds the rate."""
    numbers = [value for value in place.values() if isinstance(value, float)]
    assert all(math.isfinite(number) for number in numbers)
    assert 0 <= place["p_below"] <= 1
    assert 0 < place["low"] <= place["rate"] <= place["high"]
    return True


def stopped(n):
    return run(started_at=f"202{n}-05-02T09:00", seconds="1800", ended="stopped")


def too_fast(n):
    return run(started_at=f"202{n}-05-02T09:00", water_kg="18", seconds="15", ended="too_fast")


def test_no_placing_date_is_not_decided_with_its_reason(tmp_path):
    bring_in(tmp_path, [RUN], placed_on="")
    _, outlook, data, _ = foretold(tmp_path)
    assert outlook["not_decided"] == "Not decided: the placing date is not known."
    assert "nothing to fit" in data["message"]


def test_what_was_left_out_and_what_counts_as_no_is_listed(tmp_path):
    wet = run(started_at="2023-05-02T09:00", rain_within_24_h="yes")
    said = foretold(bring_in(tmp_path, [RUN, wet]) and tmp_path)[0]
    assert "left out: 1 run. Rain in the 24 hours before." in said
    assert "heavy trees: not known of 1 pavement, counted as no." in said
    assert "run-on edge" not in said


def forty_sweeps():
    days = [f"2023-{1 + n // 4:02d}-{2 + 7 * (n % 4):02d}T08:00" for n in range(40)]
    return [{**SWEEP, "done_at": at, "method": "broom"} for at in days]


SANE = {
    "one pavement, one test": ([RUN], []),
    "all stopped": ([stopped(n) for n in (1, 2, 3, 4, 5)], []),
    "all on one day": ([run(point=f"T{n}", seconds=str(100 * n)) for n in (1, 2, 3)], []),
    "a rate of a million": ([RUN, run(started_at="2025-05-02T09:00", seconds="0.1833")], []),
    "40 cleanings in a year": ([RUN], forty_sweeps()),
    "no cleanings": ([RUN, run(started_at="2025-05-02T09:00")], []),
    "two runs at one instant": ([RUN, run(seconds="400", run="2")], []),
    "two places at one instant": ([RUN, run(point="T2", seconds="400")], []),
    "all too fast": ([too_fast(n) for n in (1, 2, 3, 4, 5)], []),
    "all the same": ([run(started_at=f"202{n}-05-02T09:00") for n in (1, 2, 3, 4)], []),
    "at the placing instant": ([run(started_at="2020-01-01T00:00")], []),
    "a pavement of 100 years": ([RUN, run(started_at="2025-05-02T09:00")], [], "1926-01-01"),
}


@pytest.mark.parametrize("name", SANE)
def test_odd_records_have_an_outlook_of_finite_numbers(name, tmp_path):
    runs, sweeps, *placed_on = SANE[name]
    said = bring_in(
        tmp_path, runs, sweeps, placed_on=placed_on[0] if placed_on else LOT["placed_on"]
    )
    assert "Nothing was stored" not in said, said
    assert InfiltrationTest.objects.exists()
    _, outlook, data, back_test = foretold(tmp_path)
    assert math.isfinite(data["log_likelihood"])
    assert is_whole(outlook)
    assert all(is_whole(point) for point in outlook["points"].values())
    assert back_test["message"] or back_test["numbers"] + back_test["bounds"] > 0


def test_forty_cleanings_are_all_counted(tmp_path):
    bring_in(tmp_path, *SANE["40 cleanings in a year"])
    assert Cleaning.objects.count() == 40
    bare = 6.5
    assert foretold(tmp_path)[1]["effective_age"] < bare - 1


def test_the_same_run_twice_is_refused_by_its_row_and_nothing_is_stored(tmp_path):
    said = bring_in(tmp_path, [RUN, run(seconds="400")])
    assert "row 3" in said and "the same pavement, point, start and run as row 2" in said
    assert not InfiltrationTest.objects.exists()


def test_no_tests_at_all_says_that_there_is_nothing_to_fit(tmp_path):
    bring_in(tmp_path)
    said, outlook, data, back_test = foretold(tmp_path)
    assert "nothing to fit" in said and "nothing to fit" in data["message"]
    assert "no fit" in outlook["not_decided"]
    assert back_test["message"]


def test_no_pavements_at_all_say_so(tmp_path):
    said, data = command("refresh_outlooks", tmp_path, "2026-06-30")
    assert "nothing to fit" in said
    assert data["pavements"] == {}
    said, data = command("backtest_outlooks", tmp_path, "2026-06-30")
    assert "nothing to foretell" in said
    assert data["pools"] == {}


def test_test_before_placing_gives_no_fit_and_says_why(tmp_path):
    bring_in(tmp_path, [RUN], placed_on="2025-03-01")
    told, outlook, _, _ = foretold(tmp_path)
    assert "nothing to fit" in told
    assert "no fit" in outlook["not_decided"]


def test_history_of_no_length_is_foretold_from_its_first_hours(tmp_path):
    bring_in(tmp_path, [run(started_at="2026-06-30T09:00")], placed_on="2026-06-30")
    outlook = foretold(tmp_path)[1]
    assert outlook["effective_age"] == 0
    assert is_whole(outlook)


def test_day_before_anybody_held_the_lot_has_nothing_to_fit(tmp_path):
    bring_in(tmp_path, [RUN])
    said, outlook, _, _ = foretold(tmp_path, as_of="2019-12-31")
    assert "nothing to fit" in said
    assert outlook is None


@pytest.mark.parametrize("seconds", ["nan", "inf", "-5", "0", "1e400"])
def test_time_that_is_none_is_refused_by_its_row(seconds, tmp_path):
    said = bring_in(tmp_path, [RUN, run(point="T2", seconds=seconds)])
    assert "row 3, seconds" in said
    assert "Nothing was stored" in said
    assert not InfiltrationTest.objects.exists()


@pytest.mark.parametrize("level", ["0", "-1", "nan", "inf"])
def test_action_level_that_is_none_is_refused(level, tmp_path):
    said = bring_in(tmp_path, [RUN], action_rate_mm_h=level)
    assert "row 2, action_rate_mm_h" in said
    assert "Nothing was stored" in said


def test_blank_action_level_is_not_decided_with_its_reason(tmp_path):
    bring_in(tmp_path, [RUN], action_rate_mm_h="")
    outlook = foretold(tmp_path)[1]
    assert "action level" in outlook["not_decided"]
    assert (outlook["p_below"], outlook["sweep_by"]) == (None, None)
    assert outlook["beyond_sweeping"] is None
    assert outlook["rate"] > 0


def test_lot_without_a_placing_date_has_every_key_and_its_reason_of_a_past_day_too(tmp_path):
    """It is held on record from the day it was brought in, which is after the day asked for."""
    bring_in(tmp_path, [RUN])
    known = foretold(tmp_path)[1]
    put(tmp_path / "pavements.csv", LOT, [{**LOT, "ref": "P2", "placed_on": ""}])
    put(tmp_path / "infiltration_tests.csv", RUN, [run(pavement_ref="P2")])
    (tmp_path / "sweeps.csv").unlink()
    call_command("import_records", str(tmp_path), "--for", OWNER, stdout=StringIO())
    _, data = command("refresh_outlooks", tmp_path, "2026-06-30")
    outlook = data["pavements"]["P2"]
    assert set(outlook) == {*known, "not_decided"}
    assert "placing date" in outlook["not_decided"]
    assert (outlook["rate"], outlook["pavement_sweep_by"], outlook["points"]) == (None, None, {})
