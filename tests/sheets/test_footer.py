"""The foot tells how to write empties and errors, and is never shortened."""

from io import BytesIO

import pytest
from reportlab.pdfgen.canvas import Canvas

from registry.models.choices import Empty
from registry.sheets.box import PAPERS, SheetError
from registry.sheets.footer import NOTE, draw_footer, draw_note
from registry.sheets.ink import Ink
from tests.sheets.printed import words


def drawn(draw):
    file = BytesIO()
    canvas = Canvas(file)
    draw(Ink(canvas, PAPERS["a4"]))
    canvas.save()
    return " ".join(words(file.getvalue()))


def test_foot_tells_every_kind_of_empty_as_the_record_does():
    told = drawn(draw_footer)
    assert all(f"{kind.value} = {kind.label}" in NOTE for kind in Empty)
    assert set(NOTE.split()) <= set(told.split())
    assert "copied in by" in told


def test_note_without_room_is_refused_rather_than_cut():
    with pytest.raises(SheetError, match="no room"):
        drawn(lambda ink: draw_note(ink, 0, 0, 40.0, lines=1))
