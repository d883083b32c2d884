"""What years of placing show, from the dispute's tables (1C, 1D, 1E): areas worked by hand.

Claimed are C4-C11, D7-D11 and B11, 14 panels of 144 ft². Along the lanes (12 ft wide) that is of
load 6 15.0 ft, 7 and 8 30.5, 9 20.0, 16 9.5, 17 30.5, 18 20.0, 13 2.0, 14 10.0: 168 ft in all.
"""

from datetime import UTC, date, datetime

import pytest

from registry.gathering.outlined_shares import rows_of_looks
from registry.gathering.placing_years import placing_years
from registry.models import (
    Callback,
    Defect,
    Edge,
    Load,
    Observation,
    Panel,
    PlacingDay,
    RaveledShare,
    Visit,
    WalkedPanel,
)
from registry.placing.faults import NotGiven
from registry.units import Kind, System, to_si
from tests.claim_rows import CLAIMED
from tests.factories import DefectFactory, ObservationFactory, VisitFactory
from tests.placing_factories import CallbackFactory, PanelFindingFactory
from tests.placing_rows import north_lot, table

pytestmark = pytest.mark.django_db
FT2 = to_si(1, Kind.AREA, System.INCH_POUND)
SPRING = datetime(2024, 4, 29, 13, tzinfo=UTC)


@pytest.fixture
def lot(db):
    pavement = north_lot()
    CallbackFactory(pavement=pavement, panels=CLAIMED, received_at=SPRING, number="CB-5")
    return pavement


def found_of(**more):
    raveling = rows_of_looks(Defect.objects.all(), Observation.objects.all(), Visit.objects.all())
    return placing_years(
        PlacingDay.objects.all(),
        Callback.objects.all(),
        RaveledShare.objects.all(),
        raveling,
        **more,
    )


def rows_of(found, code):
    return next({row.label: row for row in rows} for one, rows in found.tables if one.code == code)


def per_thousand(rate):
    return round(1000 * rate.share, 1)


def test_areas_called_back_by_lag_are_those_worked_by_hand(lot):
    rows = rows_of(found_of(), "lag")
    told = {
        label: (round(row.area_m2 / FT2), row.loads, per_thousand(row.called))
        for label, row in rows.items()
    }
    assert told == {
        "up to 20 min": (4998, 14, 172.9),  # 72.0 ft of 416.5
        "over 20 to 30 min": (366, 1, 491.8),  # load 6
        "over 30 to 45 min": (366, 1, 1000.0),  # load 7
        "over 45 min": (606, 2, 1000.0),  # loads 8 and 9
    }
    assert rows["over 45 min"].called.reason == "Too few for limits: 2 of at least 4 loads."
    assert rows["up to 20 min"].called.low < 0.1729 < rows["up to 20 min"].called.high


def test_raveling_by_lag_is_the_area_weighted_mean_of_its_table(lot):
    shares = {row["load"]: float(row["raveled % at 6 weeks"]) for row in table("1E_by_load.csv")}
    ((way, late),) = rows_of(found_of(), "lag")["over 45 min"].raveled
    by_hand = (366 * shares["8"] + 240 * shares["9"]) / 606
    assert way == "outline by tape" and late.loads == 2
    assert 100 * late.share == pytest.approx(by_hand, abs=0.05)


def test_whole_and_pattern_are_those_of_the_dispute(lot):
    """2 016 of 6 336 ft² claimed; tau-b as printed with the dispute."""
    found = found_of()
    assert (found.whole.loads, found.whole.jobs) == (18, 1)
    assert per_thousand(found.whole.called) == 318.2
    taus = {line.factor.code: f"{line.tau:.2f}" for line in found.pattern.lines}
    expected = {"lag": "0.69", "wait": "0.48", "evaporation": "0.60", "water": "0.02"}
    assert {code: taus[code] for code in expected} == expected
    assert found.called.callbacks == 1 and not found.called.apart and not found.apart


def test_panels_that_a_finding_names_for_a_cause_are_left_alone(lot):
    callback = Callback.objects.get()
    PanelFindingFactory(callback=callback, panel="C8", cause="covered_late")
    PanelFindingFactory(callback=callback, panel="C9", cause="covered_late", confidence="not_shown")
    PanelFindingFactory(callback=callback, panel="D9", cause="plow")
    rows = found_of(cause="covered_late").tables
    assert 6336 * next(r for g, r in rows if g.code == "plant")[0].called.share == pytest.approx(
        144
    )


def test_claim_on_replaced_concrete_is_no_claim_on_the_old(lot):
    Panel.objects.filter(name="C8").update(exists_to_on=date(2024, 1, 10))
    old = Panel.objects.get(name="C8")
    new = Panel.objects.create(
        pavement=lot, plan=old.plan, name="C8", right_m=old.right_m, up_m=old.up_m,
        width_m=old.width_m, length_m=old.length_m, exists_from_on=date(2024, 1, 10), replaces=old,
    )  # fmt: skip
    found = found_of()
    assert per_thousand(found.whole.called) == round(1000 * (2016 - 144) / 6336, 1)
    ((row, why),) = found.called.apart
    assert row.number == "CB-5" and "where C8 lies" in why
    # half of a panel that was only sawn is still the old concrete
    new.delete()
    Panel.objects.create(
        pavement=lot, plan=old.plan, name="C8a", right_m=old.right_m, up_m=old.up_m,
        width_m=old.width_m, length_m=old.length_m / 2, exists_from_on=date(2024, 1, 10),
        cut_from=old,
    )  # fmt: skip
    Callback.objects.update(panels=["C8a"])
    assert 6336 * found_of().whole.called.share == pytest.approx(72)


def test_two_callbacks_of_one_panel_count_its_area_once(lot):
    CallbackFactory(pavement=lot, panels=["C8"], received_at=SPRING)
    CallbackFactory(pavement=lot, panels=["A1"], received_at=SPRING, state="withdrawn")
    CallbackFactory(pavement=lot, received_at=SPRING, panels=[], number="CB-9")
    found = found_of()
    assert per_thousand(found.whole.called) == 318.2 and found.called.callbacks == 2
    assert [(row.number, why) for row, why in found.called.apart] == [
        ("CB-9", "It names no panel.")
    ]


def test_crew_plant_hour_and_edges_tell_loads_apart(lot):
    PlacingDay.objects.filter(placed_on="2023-08-22").update(crew_by_task={"cover": ["Ann", "Bo"]})
    Load.objects.filter(number="1").update(plant="Northside", discharge_from_at=None)
    Edge.objects.create(
        panel=Panel.objects.get(name="A1"), side="left", against="building", hand_compacted=False
    )
    found = found_of()
    assert {k: v.loads for k, v in rows_of(found, "crew").items()} == {"Ann, Bo": 9, "not known": 9}
    assert list(rows_of(found, "plant")) == ["Northside", "not known"]
    assert rows_of(found, "hour")["not known"].loads == 1
    edges = rows_of(found, "edge")
    assert edges["building, not compacted by hand"].area_m2 == pytest.approx(144 * FT2)
    assert edges["no edge written down"].loads == 18


def test_ways_of_grading_stand_apart_and_look_after_the_winter_does_not_count(lot):
    RaveledShare.objects.filter(looked_on="2023-10-03", panel__startswith="C").update(
        graded_by="eye"
    )
    row = rows_of(found_of(), "plant")["not known"]
    assert {way for way, _ in row.raveled} == {"outline by tape"}  # the look at the most panels
    RaveledShare.objects.filter(looked_on="2023-10-03").delete()
    found = found_of()
    assert found.whole.raveled == () and isinstance(found.pattern, NotGiven)
    assert "238 days after placing" in found.jobs[0].no_look


def test_loads_of_two_jobs_are_put_together_only_where_the_mix_is_the_same(lot):
    other = north_lot()
    days = PlacingDay.objects.filter(pavement=other)
    found = found_of()
    assert len(found.together) == 1 and "mix of each load is not written" in found.apart[0][1]
    assert len(found.pattern.loads) == 18
    Load.objects.all().update(mix="P-610")
    found = found_of()
    assert [job.pavement for job in found.together] == [lot, other] and not found.apart
    assert found.pattern.lines[0].n == 36 and found.whole.jobs == 2
    Load.objects.filter(placing_day__in=days).update(mix="P-500 ")
    assert found_of().apart[0][1] == "Another mix: P-500."


def test_nothing_placed_gives_nothing_and_asks_for_no_rows(django_assert_num_queries):
    with django_assert_num_queries(1):
        found = found_of()
    assert (found.jobs, found.whole, found.tables) == ((), None, ())


def seen_raveled(lot, on, **more):
    """36 of the 144 ft² of C8, on a day on which every panel was walked."""
    panel = Panel.objects.get(pavement=lot, name="C8")
    defect = DefectFactory(pavement=lot, panel=panel, first_seen_on=on, **more)
    ObservationFactory(defect=defect, seen_on=on, area_m2=36 * FT2, **more)
    return defect


def test_shares_follow_from_defects_where_nobody_typed_any(lot):
    """C8 lies 84 to 96 ft up lane C, in load 8, whose 30.5 ft are 366 ft²: 36 of them."""
    RaveledShare.objects.all().delete()
    on = date(2023, 10, 3)
    seen_raveled(lot, on)
    visit = VisitFactory(pavement=lot, done_on=on)
    panels = Panel.objects.filter(pavement=lot)
    WalkedPanel.objects.bulk_create(WalkedPanel(visit=visit, panel=one) for one in panels)
    (line,) = found_of().jobs
    assert (line.look.on, line.look.word) == (on, "defects’ areas written for a panel")
    assert len(line.look.by_panel) == 44 and line.look.by_panel["C8"] == pytest.approx(0.25)
    assert line.look.by_load["8"] == pytest.approx(36 / 366)
    assert line.look.by_load["7"] == 0


def test_one_defect_reported_early_is_no_look_at_the_job(lot):
    """44 panels were graded on 2023-10-03; one reported a week before does not go first."""
    seen_raveled(lot, date(2023, 9, 25))
    (line,) = found_of().jobs
    assert (line.look.on, len(line.look.by_panel)) == (date(2023, 10, 3), 44)
