"""What hangs on one visit beside its looks: panels told of, wells read, dirt seen."""

from dataclasses import dataclass

from registry.models import (
    DirtSource,
    Observation,
    ObservationWell,
    Panel,
    Visit,
    WalkedPanel,
    WellReading,
)
from registry.models.together import together


@dataclass(frozen=True)
class VisitParts:
    """The rows of a visit, each with the row it is about.

    walked        panels told of, with `panel`
    wells         of the pavement, that can be read
    readings      of this visit, with `well`
    dirt_sources  that it named
    open_sources  of the pavement, that still bring dirt
    looks         that it took, those at what others may not see included; none unless asked for
    """

    walked: list[WalkedPanel]
    wells: list[ObservationWell]
    readings: list[WellReading]
    dirt_sources: list[DirtSource]
    open_sources: list[DirtSource]
    looks: list[Observation]

    @property
    def told(self) -> dict[int, str]:
        """Return panel id -> "" where it was walked, or why it was not seen."""
        return {row.panel_id: row.why for row in self.walked}


def visit_parts(visit: Visit, *, with_looks: bool = False) -> VisitParts:
    """Return what hangs on a visit, by one query."""
    looks = Observation.objects.filter(visit=visit).standing()
    here = DirtSource.objects.filter(pavement=visit.pavement_id)
    walked, panels, all_wells, readings, named, still, taken = together(
        WalkedPanel.objects.filter(visit=visit),
        Panel.objects.filter(walked__visit=visit),
        ObservationWell.objects.filter(pavement=visit.pavement_id),
        WellReading.objects.filter(visit=visit).standing(),
        DirtSource.objects.filter(visits=visit),
        here.open(),
        looks if with_looks else looks.none(),
    )
    panel_of, well_of = {row.pk: row for row in panels}, {row.pk: row for row in all_wells}
    for row in walked:
        row.panel = panel_of[row.panel_id]
    for row in readings:
        row.well, row.pavement = well_of[row.well_id], visit.pavement
    wells = [row for row in all_wells if not row.is_void and row.double_of_id is None]
    return VisitParts(walked, wells, readings, named, still, taken)
