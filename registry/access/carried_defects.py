"""Who follows a defect over the split of its pavement: back to the whole, or on to a part."""

from django.db.models import Q

from registry.access.defects import visible_defects, visible_photos
from registry.models import Defect, Pavement, Person, Photo
from registry.models.photo import PhotoQuerySet


def visible_before_split(person: Person, row: Defect) -> list[Defect]:
    """Return the rows that a defect was carried on from, the newest first, while seats show them.

    A part may have been split again; the way ends at the first that the person does not see.
    """
    found: list[Defect] = []
    here = row
    while here.carried_from_id is not None:
        before = Defect.objects.select_related("pavement__site", "panel").get(
            pk=here.carried_from_id
        )
        if not visible_defects(person, before.pavement).filter(pk=before.pk).exists():
            break
        found.append(before)
        here = before
    return found


def visible_after_split(person: Person, row: Defect) -> list[Defect]:
    """Return the rows at the parts that carry a defect on, where the person sees them."""
    if row.state != "carried_on":
        return []
    rows = Defect.objects.filter(carried_from=row).select_related("pavement__site")
    return [new for new in rows if visible_defects(person, new.pavement).filter(pk=new.pk).exists()]


def visible_closed_before_split(person: Person, pavement: Pavement) -> list[Defect]:
    """Return what was closed at the pavements that one was split from, where the person sees it."""
    return [
        row
        for whole in pavement.wholes()
        for row in visible_defects(person, whole)
        .standing()
        .filter(state="closed")
        .select_related("pavement")
        .order_by("number")
    ]


def visible_photos_over_splits(person: Person, pavement: Pavement) -> PhotoQuerySet:
    """Return the photos a person sees of a pavement and of those that it was split from."""
    seen = Q(pk__in=visible_photos(person, pavement).values("pk"))
    for whole in pavement.wholes():
        seen |= Q(pk__in=visible_photos(person, whole).values("pk"))
    return Photo.objects.filter(seen)
