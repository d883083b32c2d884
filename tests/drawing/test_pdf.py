import io

import pytest
from pypdf import PdfReader
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfgen.canvas import Canvas

from registry.drawing import Drawing, Text, draw_on_canvas, key_drawing, rate_chart, register_fonts
from registry.drawing.lettering import text_width_mm, wrap
from registry.drawing.pdf import FONT, FONT_BOLD, MM
from tests.drawing.pictures import (
    BAND,
    CLEANINGS,
    FEET,
    FUTURE,
    LEVELS,
    SERIES,
    TODAY,
    lot_picture,
    pdf_text,
    svg_texts,
    words,
)


def full_chart():
    return rate_chart(
        SERIES,
        CLEANINGS,
        LEVELS,
        size_mm=(182, 100),
        system=FEET,
        today=TODAY,
        band=BAND,
        future=FUTURE,
    )


@pytest.mark.parametrize("picture", [lot_picture, full_chart, lambda: key_drawing(90)])
def test_page_and_paper_say_the_same(picture):
    drawing = picture()
    on_page = svg_texts(drawing)
    assert len(on_page) > 10
    assert words(pdf_text(drawing)) == words("".join(on_page))


def test_signs_of_the_record_reach_the_paper():
    signs = "≥ 12\u202f829 mm/h · 48 × 12 ft² – U′"
    assert words(pdf_text(Drawing(90, 20, (Text((5, 10), signs),), "x"))) == words(signs)


def test_letters_travel_inside_the_file():
    file = io.BytesIO()
    canvas = Canvas(file)
    draw_on_canvas(Drawing(40, 20, (Text((5, 10), "panel C8"),), "x"), canvas, 0, 0)
    canvas.save()
    file.seek(0)
    fonts = PdfReader(file).pages[0]["/Resources"]["/Font"]
    faces = [font.get_object() for font in fonts.values()]
    ours = [face for face in faces if "DejaVu" in face["/BaseFont"]]
    assert ours
    assert all("/FontFile2" in face["/FontDescriptor"].get_object() for face in ours)


@pytest.mark.parametrize("text", ["run-on edge: clean", "0+42.5 L 3.0", "20\u202f000 in/h", "C8·4"])
def test_width_is_known_without_a_printer(text):
    register_fonts()
    for bold, font in ((False, FONT), (True, FONT_BOLD)):
        printed = stringWidth(text, font, 9) / MM
        assert printed <= text_width_mm(text, 9, bold=bold) * 1.001
        if text.isascii():
            assert text_width_mm(text, 9, bold=bold) == pytest.approx(printed, rel=0.002)


def test_wrapped_lines_keep_to_the_width_and_lose_no_word():
    text = "datum: chiseled cross, canal-side curb at the foot of the lanes; ties 18.42 hydrant"
    lines = wrap(text, 40.0)
    assert " ".join(lines) == text
    assert len(lines) > 2
    assert max(text_width_mm(line) for line in lines) <= 40.0


def test_paper_is_black_on_white_only():
    file = io.BytesIO()
    canvas = Canvas(file, pageCompression=0)
    draw_on_canvas(full_chart(), canvas, 0, 0)
    draw_on_canvas(lot_picture(), canvas, 0, 120)
    canvas.save()
    file.seek(0)
    operators = PdfReader(file).pages[0].get_contents().get_data().split()
    greys = {operators[at - 1] for at, word in enumerate(operators) if word in (b"g", b"G")}
    assert greys == {b"0", b"1"}
    coloured = {
        tuple(operators[at - 3 : at]) for at, word in enumerate(operators) if word in (b"rg", b"RG")
    }
    assert coloured <= {(b"0", b"0", b"0")}  # reportlab's own opening black
