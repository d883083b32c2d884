"""The second portfolio through files, database and command: the same numbers, the same shape.

Two owners number their lots alike; one pool takes all of them in. What record files cannot say
(a void run, panels that a cleaning skipped, panels placed anew) is put into the record by hand.
"""

import csv
import json
from collections import Counter
from datetime import date
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import call_command

from registry.actions.join_pool import join_pool
from registry.actions.judge_tests import judge_tests
from registry.actions.void_entry import void_entry
from registry.decline.parameters import NAMES, Parameters
from registry.models import CleanedPanel, Cleaning, InfiltrationTest, Pavement, Pool, Spot
from tests import factories
from tests.decline.second_rows import RING_MM, WATER_KG, second_lots
from tests.decline.test_second_portfolio import optimum, wanted

pytestmark = [pytest.mark.slow, pytest.mark.django_db]
FIXTURES = Path(__file__).parents[2] / "fixtures"
OWNERS = ("North owner", "South owner")
ALIKE = 15  # so many lots of both owners have one ref


def address(number):
    """(owner, ref) of the nth lot."""
    ref = f"R{number // 2:02d}" if number < 2 * ALIKE else f"U{number:02d}"
    return OWNERS[number % 2], ref


def addresses():
    """(owner, ref) by the ref of a lot; panels placed anew go with the lot they lie in."""
    lots = [lot for lot in second_lots() if not lot.life_of]
    found = {lot.ref: address(number) for number, lot in enumerate(lots)}
    return found | {lot.ref: found[lot.life_of] for lot in second_lots() if lot.life_of}


def key(lot_ref):
    """The key of a lot in the file of outlooks."""
    owner, ref = addresses()[lot_ref]
    counts = Counter(ref for _, ref in {*addresses().values()})
    return ref if counts[ref] == 1 else f"{owner}/{ref}"


def write(path, rows):
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)


def write_files(folder, owner):
    lots = [lot for lot in second_lots() if addresses()[lot.ref][0] == owner]
    ref = {lot.ref: addresses()[lot.ref][1] for lot in lots}
    whole = [lot for lot in lots if not lot.life_of]
    write(folder / "pavements.csv", [
        {"ref": ref[lot.ref], "name": lot.ref, "site": "Site", "surface": "pervious_concrete",
         "placed_on": lot.placed_on, "area_m2": 500, "action_rate_mm_h": lot.action_mm_h or "",
         **lot.claims}
        for lot in whole
    ])  # fmt: skip
    write(folder / "infiltration_tests.csv", [
        {"pavement_ref": ref[lot.ref], "point": place.name, "stratum": place.stratum,
         "started_at": f"{run.at:%Y-%m-%dT%H:%M}", "method": run.method, "ring_mm": RING_MM,
         "water_kg": WATER_KG, "seconds": run.seconds, "ended": run.ended, "prewet_kg": 3.6,
         "prewet_seconds": 40, "rain_within_24_h": "yes" if run.rain else "no"}
        for lot in lots for place in lot.places for run in place.runs
    ])  # fmt: skip
    write(folder / "sweeps.csv", [
        {"pavement_ref": ref[lot.ref], "done_at": f"{at:%Y-%m-%dT%H:%M}", "method": how}
        for lot in whole for at, how in lot.cleanings
    ])  # fmt: skip


def put_in_by_hand():
    for lot in second_lots():
        pavement = Pavement.objects.get(name=lot.life_of or lot.ref)
        if lot.life_of:
            spots = Spot.objects.filter(pavement=pavement, name__in=[p.name for p in lot.places])
            spots.update(concrete_placed_on=lot.placed_on)
        panels = {}
        for nth, name in lot.skips:
            if not panels:
                for place in lot.places:
                    panels[place.name] = factories.PanelFactory(pavement=pavement)
                    Spot.objects.filter(pavement=pavement, name=place.name).update(
                        panel=panels[place.name]
                    )
            done = Cleaning.objects.get(pavement=pavement, done_on=lot.cleanings[nth][0].date())
            Cleaning.objects.filter(pk=done.pk).update(covers_all=False)
            CleanedPanel.objects.create(cleaning=done, panel=panels[name], is_missed=True)
        for place in lot.places:
            for run in place.runs:
                if run.void:
                    row = InfiltrationTest.objects.get(
                        pavement=pavement, started_on=run.at.date(), spot__name=place.name
                    )
                    void_entry(row, why="read at another lot", by=None, organisation=None)
    judge_tests(list(Pavement.objects.values_list("pk", flat=True)))


@pytest.fixture(scope="module")
def found(django_db_setup, django_db_blocker, tmp_path_factory):
    """The file the command writes."""
    file = tmp_path_factory.mktemp("second") / "found.json"
    with django_db_blocker.unblock():
        town = factories.OrganisationFactory(name="Town")
        pool = Pool.objects.create(organisation=town, name="All lots of the town", is_own=False)
        for owner in OWNERS:
            factories.OrganisationFactory(name=owner, usual_role="owner")
            folder = tmp_path_factory.mktemp(owner.split()[0])
            write_files(folder, owner)
            call_command("import_records", str(folder), "--for", owner, stdout=StringIO())
        put_in_by_hand()
        for row in Pavement.objects.all():
            join_pool(row, pool, by_document="permit", from_on=date(2026, 1, 1), by=None,
                      organisation=town)  # fmt: skip
        call_command(
            "refresh_outlooks", "--as-of", "2026-06-30", "--json", str(file), stdout=StringIO()
        )
        yield json.loads(file.read_text(encoding="utf-8"))
        call_command("flush", "--no-input", verbosity=0)


def pairs(found):
    """(name, found, wanted, whether many tests were bounds) of every place that was tested."""
    for lot in second_lots():
        many = sum(run.ended != "drained" for place in lot.places for run in place.runs) > 2
        got, dense = found["pavements"][key(lot.ref)], wanted()[lot.ref]
        if not lot.life_of:
            yield lot.ref, got, dense, many
        for name in dense["tested"]:
            yield f"{lot.ref} {name}", got["points"][name], dense["points"][name], many


def days_apart(written, wanted_on):
    assert (written is None) == (wanted_on is None), (written, wanted_on)
    return abs((date.fromisoformat(written) - wanted_on).days) if written else 0


def test_colliding_refs_carry_their_owner_and_no_lot_is_missing(found):
    assert set(found["pavements"]) == {key(lot.ref) for lot in second_lots()}
    assert f"{OWNERS[0]}/R00" in found["pavements"] and f"{OWNERS[1]}/R00" in found["pavements"]
    assert any(name.startswith("U") for name in found["pavements"])


def test_shape_is_that_of_the_reference(found):
    shape = json.loads((FIXTURES / "portfolio" / "expected.json").read_text(encoding="utf-8"))
    assert set(shape) <= set(found)
    assert set(shape["parameters"]) == set(found["parameters"])
    for group in ("recovery", "drivers"):
        assert set(shape["parameters"][group]) == set(found["parameters"][group])
    one = next(iter(shape["pavements"].values()))
    point = set(next(iter(one["points"].values()))) | {"effective_age"}
    for ref, got in found["pavements"].items():
        assert set(one) <= set(got), ref
        assert all(set(spot) == point for spot in got["points"].values()), ref


def test_parameters_equal_the_dense_solution(found):
    dense = Parameters.from_vector(optimum())
    told = found["parameters"]
    for name in ("mu_a", "mu_k", "tau_a", "sigma"):
        assert told[name] == pytest.approx(getattr(dense, name), rel=0.01), name
    for name in ("sd_a", "sd_k", "tau_k"):
        assert told[name] == pytest.approx(getattr(dense, name), rel=0.03, abs=0.005), name
    rest = [*told["recovery"].values(), *told["drivers"].values()]
    assert [*told["recovery"], *told["drivers"]] == list(NAMES[8:])
    assert rest == pytest.approx([*dense.recovery, *dense.drivers], rel=0.03, abs=0.005)


def test_rates_chances_and_days_equal_the_dense_solution(found):
    for name, got, dense, many in pairs(found):
        near = 0.03 if many else 0.01
        for end in ("effective_age", "rate", "low", "high"):
            assert got[end] == pytest.approx(dense[end], rel=near), (name, end)
        if dense["p_below"] is None:
            assert (got["p_below"], got["sweep_by"]) == (None, None), name
            continue
        assert got["p_below"] == pytest.approx(dense["p_below"], abs=2 * near if many else 0.005)
        assert days_apart(got["sweep_by"], dense["sweep_by"]) <= (10 if many else 3), name


def test_the_worst_place_decides_over_all_lives(found):
    for lot in second_lots():
        if lot.life_of or lot.action_mm_h is None:
            continue
        lives = [lot.ref, *(one.ref for one in second_lots() if one.life_of == lot.ref)]
        days = [wanted()[lives[0]]["sweep_by"]]
        for ref in lives:
            one = wanted()[ref]
            days += [one["points"][name]["sweep_by"] for name in one["tested"]]
        first = min((day for day in days if day), default=None)
        got = found["pavements"][key(lot.ref)]
        assert days_apart(got["pavement_sweep_by"], first) <= 10, lot.ref


def test_reason_stands_in_the_file_where_there_is_no_chance(found):
    got = found["pavements"][key("no-action-level")]
    assert "action level" in got["not_decided"]
    assert got["rate"] > 0
