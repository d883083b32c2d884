"""An area beside the sum of the panels on the plan: whether a unit may have slipped."""

from dataclasses import dataclass
from datetime import date

from registry.measuring.unit_slips import STATED_TOLERANCE, area_slip, slip_between
from registry.plan.areas import MOST_MISCLOSURE, by_panels
from registry.plan.layout import Layout
from registry.units import Kind, System, show


@dataclass(frozen=True)
class AreaDoubt:
    """What is doubtful about an area, what would mend it, and the sum of the panels."""

    message: str
    mend: str
    panels_m2: float


def area_doubt(
    area_m2: float | None, layout: Layout | None, *, on: date, system: System
) -> AreaDoubt | None:
    """Compare an area with the panels of a day; None where they agree or there are none.

    The panels are taped one by one, so their sum decides; nothing is changed for anybody.
    """
    if area_m2 is None or layout is None or not layout.panels_on(on):
        return None
    panels_m2 = by_panels(layout.panels, on).area_m2 or 0.0
    ratio = max(area_m2, panels_m2) / min(area_m2, panels_m2)
    if ratio <= 1 + MOST_MISCLOSURE:
        return None
    summed = show(panels_m2, Kind.AREA, system)
    told = f"The panels on the plan come to {summed}; this area differs by the factor {ratio:.2f}."
    slip = slip_between(area_m2, panels_m2, STATED_TOLERANCE)
    if slip is not None and slip[0] == "ratio_m2_ft2":
        return AreaDoubt(
            told, "10.76 is the factor between m² and ft²: look at the unit.", panels_m2
        )
    return AreaDoubt(
        told, "Measure again, or say in the remark why the plan leaves some out.", panels_m2
    )


def area_done_doubt(done_m2: float | None, whole_m2: float | None, *, system: System) -> str:
    """Say what is doubtful about the area that a cleaning did, m2; "" where nothing is.

    A part may be as small as it likes, save one that is just the other unit's number.
    """
    if not done_m2 or not whole_m2:
        return ""
    if area_slip(done_m2, whole_m2) is not None:
        ratio = max(done_m2, whole_m2) / min(done_m2, whole_m2)
        return (
            f"This and the area of the pavement differ {ratio:.2f} times, as m² and ft² do. "
            "Ask which unit was meant, and correct it if it was the other."
        )
    if done_m2 > whole_m2 * (1 + MOST_MISCLOSURE):
        whole = show(whole_m2, Kind.AREA, system)
        return f"The pavement has {whole}. Look at the number and its unit."
    return ""
