"""How wide a text will be, and breaking it to a width: drawings are laid out without a printer.

Widths are those of DejaVu Sans in thousandths of its size, characters 32 to 126; other
characters are taken as wide as the widest common sign.
"""

POINT_MM = 25.4 / 72
SMALLEST_PT = 9.0  # nothing on paper is smaller

# fmt: off
_PLAIN = (
    318, 401, 460, 838, 636, 950, 780, 275, 390, 390, 500, 838, 318, 361, 318, 337, 636, 636, 636,
    636, 636, 636, 636, 636, 636, 636, 337, 337, 838, 838, 838, 531, 1000, 684, 686, 698, 770, 632,
    575, 775, 752, 295, 295, 656, 557, 863, 748, 787, 603, 787, 695, 635, 611, 732, 684, 989, 685,
    611, 685, 390, 337, 390, 838, 500, 500, 613, 635, 550, 635, 615, 352, 635, 634, 278, 278, 579,
    278, 974, 634, 612, 635, 635, 411, 521, 392, 634, 592, 818, 592, 592, 525, 636, 337, 636, 838,
)
_BOLD = (
    348, 456, 521, 838, 696, 1002, 872, 306, 457, 457, 523, 838, 380, 415, 380, 365, 696, 696, 696,
    696, 696, 696, 696, 696, 696, 696, 400, 400, 838, 838, 838, 580, 1000, 774, 762, 734, 830, 683,
    683, 821, 837, 372, 372, 775, 637, 995, 837, 850, 733, 850, 770, 720, 682, 812, 774, 1103, 771,
    724, 725, 457, 365, 457, 838, 500, 500, 675, 716, 593, 716, 678, 435, 716, 712, 343, 343, 665,
    343, 1042, 712, 687, 716, 716, 493, 595, 478, 712, 652, 924, 645, 652, 582, 712, 365, 712, 838,
)
# fmt: on
_OTHERS = {"²": 438, "°": 500, "·": 380, "\u202f": 200, "\u00a0": 348, "’": 380, "–": 500}
_WIDEST = 1035


def text_width_mm(text: str, size_pt: float = SMALLEST_PT, *, bold: bool = False) -> float:
    """Width of one line of text, mm: to a thousandth for ASCII, not too small for the rest."""
    widths = _BOLD if bold else _PLAIN
    total = 0
    for sign in text:
        code = ord(sign)
        total += widths[code - 32] if 32 <= code < 127 else _OTHERS.get(sign, _WIDEST)
    return total / 1000 * size_pt * POINT_MM


def text_height_mm(size_pt: float = SMALLEST_PT) -> float:
    """Height of capitals and digits, mm."""
    return 0.73 * size_pt * POINT_MM


def line_height_mm(size_pt: float = SMALLEST_PT) -> float:
    """From one line of writing to the next, mm."""
    return 1.3 * size_pt * POINT_MM


def wrap(text: str, width_mm: float, size_pt: float = SMALLEST_PT) -> tuple[str, ...]:
    """Break a text at blanks into lines no wider than `width_mm`; a longer word stands alone."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width_mm(longer, size_pt) <= width_mm:
            lines[-1] = longer
        else:
            lines.append(word)
    return tuple(lines)


def shortened(text: str, width_mm: float, size_pt: float = SMALLEST_PT) -> str:
    """The text, or its beginning with "…" where it is too wide; "" if not even that fits."""
    if text_width_mm(text, size_pt) <= width_mm:
        return text
    while text and text_width_mm(f"{text}…", size_pt) > width_mm:
        text = text[:-1]
    return f"{text.rstrip()}…" if text else ""
