"""Whether a look at a defect says that something has to be made safe today."""

from registry.defects import Measured, Urgency, urgent
from registry.models import Defect, Observation

ROUTE = {"yes": True, "no": False}
MEASURES = tuple(Measured.__dataclass_fields__)


def alarm_of(defect: Defect, look: Observation | None) -> Urgency | None:
    """Return what the rule of lips says of a look that found the defect; None where there is none.

    `is_urgent` None is "not decided" and says what is missing. Where nothing is said of the defect
    itself, what is said of its pavement's accessible route holds; both are fetched together.
    """
    if look is None or look.found != Observation.Found.FOUND:
        return None
    measured = Measured(**{name: getattr(look, name) for name in MEASURES})
    route = defect.on_accessible_route or defect.pavement.accessible_route
    return urgent(defect.kind, measured, ROUTE.get(route))
