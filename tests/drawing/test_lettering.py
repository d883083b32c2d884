"""How wide a text will be, broken or shortened to a width."""

import pytest

from registry.drawing.lettering import POINT_MM, shortened, text_width_mm, wrap


def test_width_is_that_of_the_letters():
    # DejaVu Sans: the advance of "A" is 684, of "i" 278 thousandths (its own metrics file).
    assert text_width_mm("Ai", 10.0) == pytest.approx(0.962 * 10 * POINT_MM)
    assert text_width_mm("Ai", 20.0) == pytest.approx(2 * text_width_mm("Ai", 10.0))
    assert text_width_mm("Ai", 10.0, bold=True) > text_width_mm("Ai", 10.0)


def test_letter_that_is_not_listed_is_taken_wide():
    assert text_width_mm("Ж") >= text_width_mm("W")


@pytest.mark.parametrize("width", [5.0, 20.0, 60.0])
def test_lines_hold_every_word_and_only_a_lone_word_is_wider(width):
    text = "chisel a cross and write two ties to fixed objects"
    lines = wrap(text, width)
    assert " ".join(lines) == text
    assert all(text_width_mm(line) <= width or " " not in line for line in lines)


def test_text_too_wide_is_shortened_with_a_sign_and_never_wider():
    assert shortened("hydrant", 100.0) == "hydrant"
    short = shortened("hydrant at the corner", 20.0)
    assert short.endswith("…") and text_width_mm(short) <= 20.0
    assert shortened("hydrant", 0.5) == ""
