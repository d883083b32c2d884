"""Raveled shares that follow from outlines of defects: page, record and recheck give the same."""

import json
import random

import pytest
import shapely
from shapely import Polygon

from registry.dossier import Book, add_every_figure, number, record_json, words
from registry.dossier.look_figures import compared_day, look_days, share_of
from registry.exchange import recheck, recheck_formulas
from registry.gathering.dossier_book import book_of, whole_record
from registry.gathering.load_page import look_figures
from registry.gathering.load_pattern import placed_loads
from registry.gathering.outlined_shares import compared_first, every_look, raveling_rows
from registry.models import (
    Defect,
    Observation,
    Panel,
    PlacingDay,
    RaveledShare,
    Visit,
    WalkedPanel,
)
from registry.placing.outlined import outlined_share
from registry.plan import grid
from tests.claim_rows import notice, terms
from tests.dossier.books import dispute_book
from tests.factories import DefectFactory, ObservationFactory, VisitFactory
from tests.placing_rows import SIDE_M, north_lot

PANEL = grid(1, 1, 4.0, 4.0)[0]
RAVELED = {
    "C8": 0.9,
    "C9": 0.8,
    "C10": 0.85,
    "C11": 0.7,
    "C7": 0.5,
    "C6": 0.2,
    "C5": 0.1,
    "D11": 0.3,
}
"""Width of a strip along one side of each panel, over its width."""


def star(seed: int) -> list[list[float]]:
    """A ring with seven points in and seven out around a place in or near the panel."""
    chance = random.Random(seed)
    right, up = chance.uniform(-1, 5), chance.uniform(-1, 5)
    around = [chance.uniform(0.5, 3.0) for _ in range(14)]
    turns = [6.283185307179586 * n / 14 for n in range(14)]
    unit = [shapely.affinity.rotate(shapely.Point(r, 0), t, (0, 0), use_radians=True)
            for r, t in zip(around, turns, strict=True)]  # fmt: skip
    return [[right + point.x, up + point.y] for point in unit]


@pytest.mark.parametrize("seed", range(40))
def test_check_finds_the_area_of_any_outlines_laid_one_over_the_other(seed):
    """Held to Shapely, which the check has not: stars, a hole in the last, a side on the joint."""
    rings = [star(100 * seed + nth) for nth in range(1 + seed % 4)]
    hole = [[1.0, 1.0], [2.0, 1.0], [2.0, 3.5], [1.0, 3.5]]
    square = [[0.0, 0.5], [4.0, 0.5], [4.0, 3.75], [0.0, 3.75]]
    outlines = [[ring] for ring in rings] + ([[square, hole]] if seed % 2 else [])
    shapes = [Polygon(ring) for ring in rings] + ([Polygon(square, [hole])] if seed % 2 else [])
    assert all(shape.is_valid for shape in shapes)
    panel = [[float(x), float(y)] for x, y in PANEL.polygon.exterior.coords[:-1]]
    own = recheck_formulas.outlined({"panel": panel, "outlines": outlines})
    assert own == pytest.approx(outlined_share(shapes, PANEL), rel=1e-9, abs=1e-12)


def test_the_same_outline_twice_and_outlines_that_touch_count_their_ground_once():
    """By hand: 2 m2 twice, 2 m2 beside it, of 16 m2: 4 / 16."""
    panel = [[0.0, 0.0], [4.0, 0.0], [4.0, 4.0], [0.0, 4.0]]
    one = [[0.0, 0.0], [2.0, 0.0], [2.0, 1.0], [0.0, 1.0]]
    other = [[2.0, 0.0], [4.0, 0.0], [4.0, 1.0], [2.0, 1.0]]
    given = {"panel": panel, "outlines": [[one], [one], [other]]}
    assert recheck_formulas.outlined(given) == pytest.approx(0.25)
    assert recheck_formulas.outlined({"panel": panel, "outlines": []}) == 0.0


@pytest.fixture
def callback(db):
    """A lot without typed shares: eight strips of raveling by outline, all panels walked."""
    lot = north_lot(with_shares=False)
    visit = VisitFactory(pavement=lot, done_on="2023-10-03")
    for panel in lot.panels.all():
        WalkedPanel.objects.create(visit=visit, panel=panel)
    for nth, (name, wide) in enumerate(RAVELED.items(), start=1):
        outline_on(lot, name, wide, number=nth)
    return notice(terms(pavement=lot), panels=["C8", "D11"])


def outline_on(lot, name: str, wide: float, **more) -> Defect:
    row = lot.panels.get(name=name)
    left, low = row.right_m, row.up_m
    right, high = left + wide * SIDE_M, low + SIDE_M
    points = [[left, low], [right, low], [right, high], [left, high]]
    given = {"panel": row, "outline": points, "outline_kind": "area", "first_seen_on": "2023-10-03"}
    defect = DefectFactory(pavement=lot, **given, **more)
    ObservationFactory(defect=defect, seen_on="2023-10-03", area_m2=wide * SIDE_M**2)
    return defect


def of_page(callback):
    lot = callback.pavement
    days = list(PlacingDay.objects.filter(pavement=lot).in_order())
    questions = raveling_rows(
        lot,
        Defect.objects.filter(pavement=lot),
        Observation.objects.filter(defect__pavement=lot),
        Visit.objects.filter(pavement=lot),
    )
    placed, (typed, *rows) = placed_loads(
        lot, days, RaveledShare.objects.filter(pavement=lot), *questions
    )
    seen = every_look(placed, typed, rows)
    return seen, look_figures(placed, compared_first(seen.looks), None)


def of_record(callback) -> Book:
    return book_of(callback, whole_record(callback), {}, system="inch_pound", prepared="")


def rechecked(book: Book) -> list[str]:
    """What the script of the archive finds different in a record."""
    record = json.loads(record_json(book, {}))
    before = {"rows": record["rows"], "figures": {}}
    wrong = []
    for name, figure in record["figures"].items():
        wrong += [f"{name}: {how}"] if (how := recheck.judge_figure(before, figure)) else []
        before["figures"][name] = figure
    return wrong


def test_page_record_and_check_agree_on_shares_of_outlines_alone(callback):
    seen, first = of_page(callback)
    record = of_record(callback)
    day = compared_day(record)
    assert day is not None and (day.on, day.graded_by) == ("2023-10-03", "plan_outline")
    assert {panel: share_of(record, day, panel) for panel in day.rows} == pytest.approx(
        dict(first.look.by_panel)
    )
    assert share_of(record, day, "C8") == pytest.approx(0.9) and share_of(record, day, "A1") == 0
    for load, share in first.look.by_load.items():
        assert record.value(f"load {load} raveled 2023-10-03 plan_outline") == pytest.approx(share)
    for line in first.pattern.lines:
        assert record.value(f"tau-b of {line.factor.code}") == line.tau
        assert record.value(f"p of tau-b of {line.factor.code}") == line.p
    pairs = [one.says for one in record.figures.values() if one.formula == "difference"]
    assert len(pairs) == len(first.neighbours)
    for said, pair in zip(pairs, first.neighbours, strict=True):
        assert said.startswith(f"{pair.panel} (load {pair.loads})") and pair.beside in said
    assert rechecked(record) == []
    assert [key for key, _ in seen.untold] == []


def test_looks_typed_and_of_outlines_stand_side_by_side_and_one_is_compared(callback):
    """Of one day the look at more panels goes first; the others are in the record beside it."""
    lot = callback.pavement
    for name in ("C8", "C9"):
        RaveledShare.objects.create(
            pavement=lot, panel=name, looked_on="2023-10-03", share=0.4, graded_by="tape"
        )
    seen, first = of_page(callback)
    record = of_record(callback)
    assert [(f"{look.on}", look.graded_by) for look in seen.looks] == [
        (day.on, day.graded_by) for day in look_days(record)
    ]
    assert compared_day(record).graded_by == first.look.graded_by == "plan_outline"
    assert "C8 2023-10-03" in record.of("looks") and rechecked(record) == []


def test_outline_that_somebody_moved_in_the_record_is_told(callback):
    record = of_record(callback)
    row = record.rows["outlines"]["defect 1, 2023-10-03"]
    ring = [[x + 0.3, y] for x, y in row["rings"].read[0]]
    record.rows["outlines"]["defect 1, 2023-10-03"] = {**row, "rings": words([ring])}
    told = rechecked(record)
    assert any(line.startswith("panel C8 raveled 2023-10-03 plan_outline: ") for line in told)


def test_outlines_on_concrete_that_was_taken_out_are_no_look_at_the_new(callback):
    lot = callback.pavement
    Panel.objects.filter(pavement=lot, name="C8").update(placed_on="2023-12-01")
    record = of_record(callback)
    assert not any(name.startswith("C8 2023-10-03") for name in record.of("looks"))


def test_panel_whose_raveling_nobody_measured_that_day_has_no_share_and_the_reason(callback):
    lot = callback.pavement
    DefectFactory(
        pavement=lot, number=99, panel=lot.panels.get(name="C10"), first_seen_on="2023-09-01"
    )
    record = of_record(callback)
    day = compared_day(record)
    assert share_of(record, day, "C10") is None
    assert "nobody took" in record.not_given["panel C10 raveled 2023-10-03, of defects"]
    assert "load 8 raveled 2023-10-03 plan_outline" in record.not_given


def test_area_written_for_a_panel_is_a_way_of_its_own_with_its_own_formula():
    book = dispute_book()
    book.rows["looks"] = {}
    given = {"defect": words("defect 1"), "on": words("2023-10-03"), "way": words("panel_area")}
    book.add("outlines", "defect 1, 2023-10-03", given | {"area": number(3.0, "m2")})
    look = {"panel": words("C8"), "on": words("2023-10-03"), "graded_by": words("panel_area")}
    book.add("looks", "C8", look | {"share": number(None), "of": words(["defect 1, 2023-10-03"])})
    add_every_figure(book)
    name = "panel C8 raveled 2023-10-03 panel_area"
    assert book.value(name) == pytest.approx(3.0 / (12 * 0.3048) ** 2)
    assert book.figures[name].formula == "N17 area written over the panel"
    assert rechecked(book) == []
