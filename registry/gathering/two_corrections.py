"""Two corrections of one entry set beside each other, field by field."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.apps import apps

from registry.models import JournalLine, WaitingCorrection
from registry.models.entry import Entry


@dataclass(frozen=True)
class FieldOfTwo:
    """One field: what stands now, and what the correction that waits would make of it."""

    label: str
    now: str
    wanted: str


@dataclass(frozen=True)
class TwoCorrections:
    """`earlier` are the lines that came in after the waiting one's writer opened the entry."""

    row: Entry
    fields: tuple[FieldOfTwo, ...]
    earlier: tuple[JournalLine, ...]


def two_corrections(waiting: WaitingCorrection) -> TwoCorrections:
    """Return what a person needs to choose: both texts of each field, and who wrote the first."""
    model = apps.get_model("registry", waiting.subject_kind)
    row = model._default_manager.get(pk=waiting.subject_id)
    lines = JournalLine.objects.about(row).corrections().filter(at__lte=waiting.at)
    told = _told(lines.order_by("at", "pk"))
    fields = tuple(
        FieldOfTwo(
            label=str(row._meta.get_field(name).verbose_name),
            now=told.get(name, pair[0]) or "empty",
            wanted=pair[1] or "empty",
        )
        for name, pair in waiting.lines.items()
    )
    earlier = lines.select_related("by", "by_organisation").order_by("-at", "-pk")[:3]
    return TwoCorrections(row, fields, tuple(earlier))


def _told(lines: Iterable[JournalLine]) -> dict[str, str]:
    told: dict[str, str] = {}
    for line in lines:
        told |= {name: new for name, (_, new) in line.changes.items()}
    return told
