"""The sweep work order: its box, its words, its plan, filled and blank, in both systems."""

from dataclasses import replace

import pytest

from registry.drawing.plan_marks import SweptArea
from registry.sheets.box import PAPERS
from registry.sheets.contents import SweepContent, SweepOrder
from registry.sheets.footer import NOTE
from registry.sheets.sweep import CAUTION, draw_sweep
from tests.sheets import printed
from tests.sheets.made_up import MARK, SI, US, blank, heading, lot, path

ORDER = SweepOrder(
    number="W-2026-014",
    asked_by="Ines Marlow",
    approved_by="R. Dow",
    approved_on="2026-08-28",
    price="1944.00, by area",
    dated_for="2026-09-15",
    crew="wash crew",
    entrance="north gate",
    contact="T. Ames, 555-0142",
    window="Mon-Thu",
    gate="key at the desk",
    height="8.2 ft",
    axle="3,000 lb",
    cars_out_by="Mon 18:00",
    notice="2026-09-11 09:00",
    noise="any day 07:00-22:00",
    water_point="Mill Lane hydrant, permit 41",
    dump="Transfer yard, Mon-Fri 07:00-15:00",
    decant="Decant yard",
    method="pressure wash and vacuum in one pass",
    rows="A-C, 4,320 ft²",
    passes="2",
    pattern="along",
    must_be_dry="no",
    lowest="35 °F",
    do_not=("no wire broom", "no closing agents", "no water to the storm drain"),
    before_spots="U (A4), W (C6)",
    after_spots="U (A4), W (C6)",
    after_due="2026-09-29",
)
LAYOUT = lot(4, 11)
PANELS = LAYOUT.panels[:4]
SWEPT = tuple(
    SweptArea(tuple(panel.polygon.exterior.coords), is_twice=nth == 0)
    for nth, panel in enumerate(PANELS)
)
CONTENTS = {
    "ft": SweepContent(heading("SWEEP WORK ORDER"), LAYOUT, ORDER, SWEPT),
    "m": SweepContent(heading("SWEEP WORK ORDER", SI), LAYOUT, ORDER, SWEPT),
    "path": SweepContent(heading("SWEEP WORK ORDER"), path(), ORDER),
    "no plan": SweepContent(heading("SWEEP WORK ORDER"), None, ORDER),
    "blank_ft": SweepContent(blank("SWEEP WORK ORDER", US)),
    "blank_m": SweepContent(blank("SWEEP WORK ORDER", SI)),
}


def drawn(name: str, paper: str = "letter") -> bytes:
    return draw_sweep(CONTENTS[name], MARK, PAPERS[paper]).pdf


def drawn_of(content: SweepContent) -> bytes:
    return draw_sweep(content, MARK, PAPERS["letter"]).pdf


def words(name: str) -> str:
    return printed.words(drawn(name))[0]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", CONTENTS)
def test_everything_printed_stands_in_the_box_at_its_true_size(name, paper):
    pdf, size = drawn(name, paper), PAPERS[paper]
    (found,) = printed.paper_mm(pdf)
    assert found == pytest.approx((size.width_mm, size.height_mm), abs=0.01)
    box = printed.bounds(pdf, 0)
    assert box.left == pytest.approx(size.left_mm, abs=0.2)
    assert box.right == pytest.approx(size.left_mm + 182, abs=0.2)
    assert box.top == pytest.approx(size.top_mm, abs=0.2)
    assert box.bottom == pytest.approx(size.top_mm + 254, abs=0.2)


@pytest.mark.parametrize("name", CONTENTS)
def test_letters_are_9_pt_or_more(name):
    assert min(printed.letter_sizes(drawn(name))) >= 9


def test_what_the_order_says_is_printed():
    page = words("ft")
    for said in (
        "order no. W-2026-014", "asked by Ines Marlow", "for the day 2026-09-15",
        "approved by R. Dow", "1944.00", "SITE entrance north gate", "Mon-Thu", "8.2 ft",
        "3,000 lb", "Mon 18:00", "any day 07:00-22:00", "Transfer yard", "Decant yard",
        "must be dry", "not below 35 °F", "U (A4), W (C6)", "due by 2026-09-29", "to sweep twice",
    ):  # fmt: skip
        assert said in page, said
    assert "pressure wash and vacuum" in page


@pytest.mark.parametrize("name", CONTENTS)
def test_every_field_of_the_sheet_has_its_place_and_the_cautions_stand_on_it(name):
    """The fields are those of the paper's own list for this sheet (house rule, no source)."""
    page = " ".join(words(name).split())
    for field in (
        "order no.", "asked by", "approved by", "price agreed, how", "entrance", "contact, phone",
        "window, days and hours", "keys, gate", "height", "axle", "cars out by", "notice posted",
        "water point, permit", "dump, hours", "decant", "noise hours", "method", "passes",
        "pattern", "must be dry", "not below", "wire broom", "closing agents",
        "Stop if stone comes loose", "before-test ids", "photo before no.", "arrive", "start",
        "end", "leave", "operator", "machine", "surface", "rain in last 24 h", "passes per row",
        "rows not done and why", "area done", "speed", "debris", "or bags", "weight", "look",
        "water", "went to", "stone or joint material in hopper", "damage", "photos after",
        "turned away", "weather", "who", "call-out", "due by", "test ids", "gain", "accepted",
        "redo", "part", "for the site", "invoice no.",
    ):  # fmt: skip
        assert field in page, field
    assert " ".join(CAUTION.split()[:6]) in page and NOTE.split(".")[0] in page


def test_units_are_those_of_the_sheet_and_never_both():
    for name, there, others in (
        ("blank_ft", ("ft²", "yd³", "lb", "gal", "mph"), ("m²", "kg", "km/h")),
        ("blank_m", ("m²", "m³", "kg", "L", "km/h"), ("yd³", "gal", "mph")),
    ):
        body = words(name).split("order no.")[1].split("Write nk")[0].split()
        assert all(unit in body for unit in there)
        assert not any(unit in body for unit in others)


def test_a_long_name_of_a_firm_stands_whole_in_two_lines():
    firm = "Hollin & Daughters Flatwork and Sweeping of Sedgewater"
    page = " ".join(printed.words(drawn_of(_asked_by(firm)))[0].split())
    assert "…" not in page
    for word in firm.split():
        assert word in page, word


def _asked_by(firm: str) -> SweepContent:
    return replace(CONTENTS["ft"], order=replace(ORDER, asked_by=firm))


def test_long_words_are_visibly_shortened_and_never_run_over():
    order = replace(ORDER, asked_by="A very long name of a firm and person " * 5, rows="A1, " * 99)
    content = replace(CONTENTS["ft"], order=order)
    pdf = draw_sweep(content, MARK, PAPERS["a4"]).pdf
    assert "…" in printed.words(pdf)[0]
    assert printed.bounds(pdf, 0).right == pytest.approx(18 + 182, abs=0.2)


def test_hatches_of_the_rows_are_drawn():
    bare = replace(CONTENTS["ft"], swept=())
    strokes = [printed.stroke_count(pdf) for pdf in (drawn("ft"), drawn_of(bare))]
    assert strokes[0] > strokes[1]


def test_plan_that_finds_no_room_says_so_and_leaves_the_rows_in_words():
    crowded = replace(CONTENTS["ft"], layout=lot(2, 80))
    page = printed.words(drawn_of(crowded))[0]
    assert ("No picture here" in page) != ("to sweep" in page)
    assert "rows A-C, 4,320" in page


def test_same_content_gives_the_same_bytes():
    assert drawn("ft") == drawn("ft")
