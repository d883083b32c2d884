"""The residuals stored with a fit -> the two pictures on its page."""

import math

from registry.decline.residuals import FURTHEST, Cells
from registry.drawing.primitives import Drawing
from registry.drawing.residual_chart import Across, Counted, residual_chart
from registry.drawing.scales import LogScale
from registry.gathering.stored_fit import cells_of
from registry.models import Fit
from registry.units import Kind, System, from_si, unit_sign

SIZE_MM = (180.0, 64.0)
_AGE_STEPS = (0.25, 0.5, 1, 2, 5, 10, 20, 50, 100)


def draw_residuals(fit: Fit, system: System) -> tuple[Drawing, ...]:
    """Return the pictures against fitted rate and against effective age; none without residuals."""
    if fit.residuals is None:
        return ()
    by_fitted = cells_of(fit.residuals["by_fitted"])
    by_age = cells_of(fit.residuals["by_age"])
    return (
        residual_chart(_counted(by_fitted), _rates(by_fitted, system), size_mm=SIZE_MM),
        residual_chart(_counted(by_age), _ages(by_age), size_mm=SIZE_MM),
    )


def _counted(cells: Cells) -> Counted:
    return Counted(cells.columns, cells.rows, FURTHEST, cells.counts)


def _rates(cells: Cells, system: System) -> Across:
    low, high = (from_si(math.exp(end), Kind.RATE, system) for end in (cells.low, cells.high))
    ticks = LogScale(low, high, 0.0, 100.0).ticks(4.0)
    span = math.log(high / low)
    return Across(
        f"fitted rate, {unit_sign(Kind.RATE, system)}, log scale",
        [(math.log(value / low) / span, f"{value:,.6g}".replace(",", " ")) for value in ticks],
    )


def _ages(cells: Cells) -> Across:
    step = next((s for s in _AGE_STEPS if cells.high / s <= 8), _AGE_STEPS[-1])
    count = int(cells.high / step)
    ticks = [(n * step / cells.high, f"{n * step:g}") for n in range(count + 1)]
    return Across("effective age, years", ticks)
