"""What stands in the place of a plan that nobody has drawn yet: what to do first."""

from registry.drawing.lettering import SMALLEST_PT, line_height_mm, wrap
from registry.drawing.primitives import Area, Drawing, Item, Mark, Symbol, Text

_TITLE = "No plan yet: draw it first"
_STEPS = (
    "It takes about 20 minutes and pays every year.",
    "1. Outline: pace or tape round the edge.",
    "2. Joints: count the panels each way; letters A, B, C to the right (no I, no O), "
    "numbers 1, 2, 3 going up.",
    "3. Datum: a corner of curb or drain frame that will outlive the surface; chisel a cross, "
    "write two ties to fixed objects and the length to a second mark.",
    "4. Up: stand on the datum and look along the baseline; write what up is toward.",
)


def no_plan(size_mm: tuple[float, float]) -> Drawing:
    """A frame with the datum's cross and the four steps, as high as asked."""
    width, height = size_mm
    frame = ((0.5, 0.5), (width - 0.5, 0.5), (width - 0.5, height - 0.5), (0.5, height - 0.5))
    items: list[Item] = [Area(frame, dash_mm=(2.0, 2.0))]
    foot = 8.0
    items.append(Text((5.0, foot), _TITLE, 11.0, bold=True))
    foot += 2.0
    for step in _STEPS:
        for line in wrap(step, width - 10.0, SMALLEST_PT):
            foot += line_height_mm() + 0.3
            items.append(Text((5.0, foot), line))
        foot += 1.2
    if foot + 9.0 < height:
        items.append(Mark((7.5, height - 6.5), Symbol.DATUM, 4.2))
        items.append(Text((12.0, height - 5.4), "datum"))
    return Drawing(width, height, tuple(items), _TITLE, " ".join(_STEPS))
