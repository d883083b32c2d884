"""Drawings the tests look at, and reading them back."""

import io
import math
from datetime import date, timedelta
from xml.etree import ElementTree

from pypdf import PdfReader
from reportlab.pdfgen.canvas import Canvas

from registry.drawing import (
    ActionLevel,
    CleaningMark,
    DeclineBand,
    DefectMark,
    Drawing,
    Future,
    RateKind,
    RatePoint,
    RateSeries,
    SpotLine,
    SpotMark,
    StateArea,
    Symbol,
    draw_on_canvas,
    plan_picture,
    to_svg,
)
from registry.drawing.pdf import MM
from registry.plan import read_place, to_plan
from registry.units import System
from tests.plan.layouts import BEFORE, FT, ft, mended_lot, north_lot

SVG = "{http://www.w3.org/2000/svg}"
FEET = System.INCH_POUND
IN_H = 25.4
TODAY = date(2026, 7, 1)


def tree(drawing: Drawing) -> ElementTree.Element:
    return ElementTree.fromstring(to_svg(drawing, id_prefix="p"))


def svg_texts(drawing: Drawing) -> list[str]:
    return [element.text or "" for element in tree(drawing).iter(f"{SVG}text")]


def pdf_text(drawing: Drawing) -> str:
    file = io.BytesIO()
    canvas = Canvas(file, pagesize=(210 * MM, 297 * MM))
    draw_on_canvas(drawing, canvas, 14, 20)
    canvas.save()
    file.seek(0)
    return PdfReader(file).pages[0].extract_text()


def words(text: str) -> str:
    """Letters in sorted order: where a reader puts blanks and lines is its own affair."""
    return "".join(sorted("".join(text.split())))


def lot_shape(text: str):
    return to_plan(read_place(text, FEET), north_lot(), BEFORE)


def strip_m(start_ft: float, stop_ft: float):
    return (ft(start_ft, 0), ft(stop_ft, 0), ft(stop_ft, 132), ft(start_ft, 132))


SPOTS = (
    SpotMark("U", (45 * FT, 66 * FT), "< 3.9 in/h", "/spots/1/"),
    SpotMark("W", (18 * FT, 66 * FT), "57 in/h"),
    SpotMark("M", (6 * FT, 66 * FT), "310 in/h"),
)
STATES = (
    StateArea("clean", "run-on edge", (strip_m(36, 48),)),
    StateArea("watch", "wheel path", (strip_m(12, 24),)),
    StateArea("not_decided", "leaf side"),
)
DEFECTS = (
    DefectMark(1, lot_shape("A2 · 5.0 R · 7.5 U"), href="/defects/7/", title="prints, A2"),
    DefectMark(2, lot_shape("C4 whole"), Symbol.RAVELING),
    DefectMark(3, lot_shape("A3, from R 0 U 5.8 to R 11.5 U 6.1"), Symbol.CRACK),
)


def lot_picture(size_mm=(182.0, 130.0), on=BEFORE, layout=None) -> Drawing:
    return plan_picture(
        layout or mended_lot(),
        on=on,
        size_mm=size_mm,
        system=FEET,
        spots=SPOTS,
        states=STATES,
        known_defects=DEFECTS,
    )


SERIES = (
    RateSeries(
        "U",
        (
            RatePoint(date(2021, 5, 18), 38 * IN_H),
            RatePoint(date(2022, 5, 17), 14 * IN_H),
            RatePoint(date(2023, 5, 16), 3.9 * IN_H, RateKind.BELOW, href="/tests/8/"),
            RatePoint(date(2023, 6, 20), 22 * IN_H),
            RatePoint(date(2024, 6, 20), 9 * IN_H),
        ),
    ),
    RateSeries(
        "W",
        (
            RatePoint(date(2021, 5, 18), 120 * IN_H),
            RatePoint(date(2022, 5, 17), 75 * IN_H, looked_at=True),
            RatePoint(date(2023, 5, 16), 31 * IN_H),
            RatePoint(date(2023, 6, 20), 900 * IN_H, RateKind.ABOVE),
        ),
    ),
)
CLEANINGS = (
    CleaningMark(date(2022, 11, 20), "regenerative air"),
    CleaningMark(date(2023, 6, 1), "wash and vacuum", restores=True, href="/sweeps/3/"),
)
LEVELS = (
    ActionLevel(12.5 * IN_H, date(2021, 1, 1), date(2024, 1, 1)),
    ActionLevel(21 * IN_H, date(2024, 1, 1), source="permit"),
)
_DAYS = tuple(date(2021, 5, 1) + timedelta(days=30 * step) for step in range(90))
_MIDDLE = tuple(200 * IN_H * math.exp(-step / 40) for step in range(90))
BAND = DeclineBand(
    _DAYS, _MIDDLE, tuple(rate / 1.8 for rate in _MIDDLE), tuple(rate * 1.8 for rate in _MIDDLE)
)
FUTURE = Future(
    (SpotLine("U", _DAYS, tuple(rate / 4 for rate in _MIDDLE)),), crossing_on=date(2028, 10, 3)
)
