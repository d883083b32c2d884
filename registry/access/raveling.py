"""Who sees the looks at raveling of many pavements at once: row by row as on a page of each."""

from zoneinfo import ZoneInfo

from django.db.models import Q
from django.utils import timezone

from registry.access.holding import rights_among
from registry.models import Defect, Observation, Organisation, Pavement, Person, Seat, Visit
from registry.models.choices import Role
from registry.models.defect import DefectQuerySet
from registry.models.observation import ObservationQuerySet
from registry.models.rights import READERS_OF_ALL
from registry.models.sight import NOTHING, defects_shown, observations_shown, visits_shown
from registry.models.visit import VisitQuerySet


def raveling_among(
    person: Person, organisation: Organisation
) -> tuple[DefectQuerySet, ObservationQuerySet, VisitQuerySet]:
    """Return raveling defects, their looks, and visits that a person may see.

    They are those of all pavements with raveling at which an organisation is or was contractor.
    """
    held = Seat.objects.begun_by(timezone.now()).filter(
        organisation=organisation, role=Role.CONTRACTOR
    )
    raveled = Defect.objects.standing().raveling().filter(pavement__in=held.values("pavement"))
    pavements = list(
        Pavement.objects.filter(
            pk__in=raveled.values("pavement"), void_at__isnull=True
        ).select_related("site")
    )
    zones = {one.pk: ZoneInfo(one.site.time_zone) for one in pavements}
    defects, looks, visits = NOTHING, NOTHING, NOTHING
    for pk, rights in rights_among(person, pavements).items():
        is_all = bool(rights.roles & READERS_OF_ALL)
        shown = ~NOTHING if is_all else defects_shown(rights)
        defects |= Q(pavement=pk) & shown
        shown = ~NOTHING if is_all else observations_shown(rights)
        looks |= Q(defect__pavement=pk) & shown
        shown = ~NOTHING if is_all else visits_shown(rights, zones[pk])
        visits |= Q(pavement=pk) & shown
    seen = raveled.filter(defects)
    return (
        seen,
        Observation.objects.filter(looks, defect__in=seen.values("pk")),
        Visit.objects.filter(visits),
    )
