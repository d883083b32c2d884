"""Store an extent measured on a photo, as a look at its defect; let its outline be the defect's."""

from django.db import transaction

from registry.actions.add_entry import add_entry
from registry.actions.correct_entry import correct_entry
from registry.actions.correct_observation import correct_observation
from registry.actions.record_observation import record_observation
from registry.defects import KINDS
from registry.faults import DomainError
from registry.imaging import LEFT_OUT
from registry.models import Defect, Observation, Organisation, Person, PhotoExtent
from registry.models.entry import Change

COLUMNS = {"area": ("area_m2", "area_error_m2"), "line": ("length_m", "length_error_m")}
WORDS = {"area": "area", "line": "length"}


class CannotMeasure(DomainError):
    """The photo is void, or its kind of defect is not measured like this."""


@transaction.atomic
def measure_on_photo(
    row: PhotoExtent,
    *,
    look: Observation | None,
    by: Person | None,
    organisation: Organisation | None,
) -> PhotoExtent:
    """Store an extent of a photo.

    look  the look that the photo belongs to, which takes the extent by a correction line; or an
          unsaved one with its day, stored as a new look at the photo's defect; None where the
          photo shows no defect, and then the extent stays with the photo alone
    """
    if row.photo.is_void:
        raise CannotMeasure("This photo is void.")
    row.left_out = LEFT_OUT
    if look is not None:
        _refuse_unlike(look.defect, row.outline_kind)
        row.observation = _with_extent(row, look, by, organisation)
    return add_entry(row, by=by, organisation=organisation)


def _refuse_unlike(defect: Defect, outline_kind: str) -> None:
    kind, column = KINDS[defect.kind], COLUMNS[outline_kind][0]
    if column not in kind.asks:
        raise CannotMeasure(f"Of “{kind.label}” no {WORDS[outline_kind]} is asked.")


def _with_extent(
    row: PhotoExtent, look: Observation, by: Person | None, organisation: Organisation | None
) -> Observation:
    """The look with value, error and method of the photo, new or corrected."""
    size, error = COLUMNS[row.outline_kind]
    values = {size: row.value, error: row.error, "method": Observation.Method.PHOTO}
    if look._state.adding:
        for name, value in values.items():
            setattr(look, name, value)
        return record_observation(look, by=by, organisation=organisation)
    changes = {
        name: Change(value, "", seen=getattr(look, name), is_seen_known=True)
        for name, value in values.items()
    }
    return correct_observation(
        look,
        changes=changes,
        by_eye=look.severity if look.severity_by_eye else "",
        why=f"measured on {row.photo}",
        by=by,
        organisation=organisation,
    )


@transaction.atomic
def land_on_plan(
    row: PhotoExtent,
    *,
    defect: Defect,
    why: str,
    by: Person | None,
    organisation: Organisation | None,
) -> Defect:
    """Make the outline of an extent that of its defect on the plan, by a correction line."""
    if row.observation is None or row.observation.defect_id != defect.pk:
        raise CannotMeasure("This extent is not of that defect.")
    if not row.on_plan:
        raise CannotMeasure("Where the rectangle lies on the plan is not known.")
    told = f"{len(row.on_plan)} points drawn on {row.photo}"
    before = f"{len(defect.outline)} points" if defect.outline else "none"
    changes = {
        "outline": Change(row.on_plan, "", line=(before, told)),
        "outline_kind": Change(row.outline_kind, ""),
    }
    return correct_entry(defect, changes=changes, why=why, by=by, organisation=organisation)  # type: ignore[return-value]
