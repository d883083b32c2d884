"""Rows that the tests of visits share: a lot with known defects, seen as the record holds them."""

from datetime import date

from registry.actions.open_visit import open_visit
from registry.actions.record_defect import record_defect
from registry.gathering.known_defects import Seen
from registry.models import Defect, Observation, Pavement, Visit
from tests import factories

DAY = date(2024, 4, 18)
LAST_YEAR = date(2023, 5, 19)
FT = 0.3048


def seen_of(pavement: Pavement) -> Seen:
    """All that stands, as the keeper's side sees it."""
    looks = Observation.objects.filter(defect__pavement=pavement).standing()
    return Seen(Defect.objects.filter(pavement=pavement).standing(), looks)


def defect_at(pavement: Pavement, place: str, kind: str = "raveling", **fields: object) -> Defect:
    """A defect noted last year with 0.5 m2, or what `look` says."""
    look = fields.pop("look", {"area_m2": 0.5})
    given = {"first_seen_on": LAST_YEAR, **fields}
    row = factories.DefectFactory.build(pavement=pavement, kind=kind, place=place, **given)
    first = Observation(seen_on=given["first_seen_on"], method="tape", **look)
    return record_defect(row, by=None, organisation=None, first_look=first)


def visit_at(pavement: Pavement, **fields: object) -> Visit:
    """A visit under way."""
    given = {"done_on": DAY, "walked_by": "M. Ferrand", **fields}
    return open_visit(
        Visit(pavement=pavement, **given), by=None, organisation=fields.get("entered_for")
    )


def answer(visit: Visit, defect: Defect, found: str = "found", **fields: object) -> Observation:
    """An unsaved answer."""
    return Observation(visit=visit, defect=defect, found=found, seen_on=visit.done_on, **fields)
