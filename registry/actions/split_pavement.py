"""Split a pavement in two when its lot is split: both parts point to it for their history."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time
from zoneinfo import ZoneInfo

from django.db import transaction
from django.utils import timezone
from shapely import Polygon

from registry.actions.carry_on_defects import Ground, carry_on_defects
from registry.actions.carry_on_ground import carry_on_ground
from registry.actions.number_pavement import number_pavement
from registry.actions.refresh_standing import refresh_after
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.gathering.shared_defects import OpenDefect, open_defects, polygon_of
from registry.gathering.shared_ground import share_ground
from registry.models import (
    Organisation,
    Panel,
    Pavement,
    PavementState,
    Person,
    Plan,
    Seat,
    Section,
    Visit,
    WorkOrder,
)
from registry.plan.shapes import PlanShape
from registry.plan.shared_out import piece_within

CARRIED_ON = (
    "site", "surface", "use", "accessible_route", "thickness_mm", "traffic", "placed_on",
    "placed_until_on", "opened_to_feet_on", "opened_to_wheels_on", "substantial_completion_on",
    "accepted_on", "accepted_by", "state", "sheet_system", "lon", "lat", "datum_lon", "datum_lat",
    "bearing_of_up_deg",
)  # fmt: skip
"""What a part takes over from the whole. Trees, sand and bare soil are to be looked at anew."""
OF_PLAN = (
    "kind", "scale", "datum", "up", "ties", "second_mark", "check_length_m", "check_length_name",
    "width_m", "offset_from", "square_m", "baseline", "datum_lost_on", "misfit_m",
)  # fmt: skip
"""Places are named on both parts as they were on the whole, from the same datum."""
OF_PANEL = (
    "name", "right_m", "up_m", "width_m", "length_m", "corners", "kind", "placed_on",
)  # fmt: skip
OF_SECTION = (
    "name",
    "thickness_mm",
    "mix",
    "placed_on",
    "opened_to_feet_on",
    "opened_to_wheels_on",
)


class CannotSplit(DomainError):
    """The parts do not add up to the whole, or the pavement was split before."""


@dataclass(frozen=True)
class Part:
    """One part: its name, the ids of its panels, and its area where no panels tell it (m2).

    own_number  by which the organisation that enters the split knows it; "" for none yet
    """

    name: str
    panel_ids: frozenset[int]
    area_m2: float | None = None
    own_number: str = ""


@transaction.atomic
def split_pavement(
    *,
    pavement: Pavement,
    parts: tuple[Part, Part],
    on: date,
    why: str,
    by: Person | None,
    organisation: Organisation | None,
    defects: Mapping[int, int] | None = None,
) -> tuple[Pavement, ...]:
    """Make two pavements of one and return them. The register's total area does not change.

    Criteria and run-on are left behind: they belong to the whole and are to be measured anew
    (within 90 days); without criteria both parts are "not decided". Seats go on at both parts.
    Tests, cleanings and journal stay with the whole, which is read and printed but not written;
    so do visits, photos and closed defects. Open defects go on at the part they lie on; so do fixed
    points, wells, joints, strata and edges, and the structure below at both. What of these lies on
    both parts or at no known place stays and is named in the journal (`share_ground`). Numbers stay
    with the whole: each organisation gives the parts its own, and may have none for them yet.

    defects  by id, of those that lie on both parts or at no known place, what a person decided:
             0 the first part, 1 the second, `carry_on_defects.BOTH` either
    """
    pavement = Pavement.objects.held().select_related("site").get(pk=pavement.pk)
    panels = list(pavement.panels.standing().existing_on(on))
    _refuse_wrong_shares(pavement, parts, panels, on)
    _refuse_visit_under_way(pavement, organisation)
    _refuse_open_orders(pavement)
    shared = _shared_out(open_defects(pavement, on), parts, defects or {})
    ground = share_ground(pavement, (parts[0].panel_ids, parts[1].panel_ids), on)
    areas = _areas(pavement, parts, panels)
    made = tuple(
        _make_part(pavement, part, area, on, by, organisation)
        for part, area in zip(parts, areas, strict=True)
    )
    grounds = []
    for part, child in zip(parts, made, strict=True):
        sections = _carry_sections(pavement, child, part)
        going = [p for p in panels if p.pk in part.panel_ids]
        grounds.append(Ground(child, _share_panels(child, going, sections, on), sections))
        _carry_outline(pavement, child, going)
        _carry_seats(pavement, child, sections, on)
        why_part = f"part of {pavement}; criteria and run-on to be measured anew within 90 days"
        write_line(child, "split off", by=by, organisation=organisation, why=why_part[:300])
        if part.own_number and organisation is not None:
            number_pavement(
                child, number=part.own_number, from_on=on, by=by, organisation=organisation
            )
    first, second = grounds
    carry_on_defects(shared, (first, second), on=on, by=by, organisation=organisation)
    carry_on_ground(pavement, ground, grounds, on=on, by=by, organisation=organisation)
    pavement.state = PavementState.SPLIT
    pavement.save(update_fields=["state"])
    changes = {"parts": ["", ", ".join(str(child) for child in made)]}
    if ground.stays:
        changes["stays with the whole"] = ["", "; ".join(ground.stays)]
    write_line(pavement, "split", by=by, organisation=organisation, why=why, changes=changes)
    for row in (pavement, *made):
        refresh_after(row)
    return made


def _refuse_wrong_shares(
    pavement: Pavement, parts: tuple[Part, Part], panels: Collection[Panel], on: date
) -> None:
    if pavement.state in (PavementState.SPLIT, PavementState.REMOVED):
        raise CannotSplit(f"This pavement is {pavement.get_state_display()}.")
    if on > timezone.now().astimezone(ZoneInfo(pavement.site.time_zone)).date():
        raise CannotSplit("A split is entered on its day or after it.")
    first, second = (part.panel_ids for part in parts)
    both = [panel.name for panel in panels if panel.pk in first & second]
    if both:
        raise CannotSplit(f"Panel {', '.join(both)} lies in both parts: cut it in two first.")
    left = [panel.name for panel in panels if panel.pk not in first | second]
    if left:
        raise CannotSplit(f"Panel {', '.join(left)} is in neither part.")
    if panels and not (first and second):
        raise CannotSplit("Each part needs at least one panel.")


def _refuse_visit_under_way(pavement: Pavement, organisation: Organisation | None) -> None:
    """A visit of one's own side is closed first; the whole takes no more answers afterwards."""
    own = Visit.objects.under_way().filter(pavement=pavement, entered_for=organisation)
    visit = own.first()
    if visit is not None:
        raise CannotSplit(
            f"Your side's visit of {visit.done_on} is under way here: close it before the split."
        )


def _refuse_open_orders(pavement: Pavement) -> None:
    """The whole takes no more moves afterwards, and what an order asks for is another at a part."""
    open_ones = WorkOrder.objects.open().filter(pavement=pavement).order_by("pk")
    if names := ", ".join(f"order {order}" for order in open_ones):
        raise CannotSplit(
            f"Still open here: {names}. Do or drop what is open before the split, and ask for it "
            "anew at the parts: their areas and panels are others."
        )


def _shared_out(
    known: Iterable[OpenDefect], parts: tuple[Part, Part], said: Mapping[int, int]
) -> list[tuple[OpenDefect, int]]:
    """Return each open defect with the part it goes with. What nobody can tell was decided."""
    shares = (parts[0].panel_ids, parts[1].panel_ids)
    shared = []
    for defect in known:
        part = defect.part(shares)
        part = said.get(defect.row.pk) if part is None else part
        if part is None:
            raise CannotSplit(f"Say with which part this goes on: {defect.words}.")
        shared.append((defect, part))
    return shared


def _areas(
    pavement: Pavement, parts: tuple[Part, Part], panels: Collection[Panel]
) -> tuple[float | None, float | None]:
    """Return the areas of the parts: by panels, else as given; they add up to the whole."""
    whole = pavement.area_m2
    if whole is None:
        return None, None
    first = parts[0].area_m2
    if panels:
        sizes = {panel.pk: _size(panel) for panel in panels}
        share = sum(sizes[pk] for pk in parts[0].panel_ids & set(sizes)) / sum(sizes.values())
        first = whole * share
    if first is None or not 0 < first < whole:
        raise CannotSplit("Give the area of the first part; it is less than the whole.")
    return first, whole - first


def _size(panel: Panel) -> float:
    """Return a panel's area, m2: by its corners (shoelace formula) where they are known."""
    if len(panel.corners) < 3:
        return panel.width_m * panel.length_m
    following = [*panel.corners[1:], panel.corners[0]]
    pairs = zip(panel.corners, following, strict=True)
    return abs(sum(x * next_y - next_x * y for (x, y), (next_x, next_y) in pairs)) / 2


def _make_part(
    whole: Pavement,
    part: Part,
    area_m2: float | None,
    on: date,
    by: Person | None,
    organisation: Organisation | None,
) -> Pavement:
    child = Pavement(
        **{name: getattr(whole, name) for name in CARRIED_ON},
        name=part.name,
        parent=whole,
        area_m2=area_m2,
        area_found_by="panels" if part.panel_ids else "nk",
        note=f"Split from {whole} on {on}. Area: its share of the whole, to be measured.",
        entered_by=by,
        entered_for=organisation,
    )
    child.full_clean(exclude={"entered_by", "entered_for"})
    child.save(force_insert=True)
    plan = whole.plans.standing().newest_first().first()
    if plan is not None:
        fields = {name: getattr(plan, name) for name in OF_PLAN}
        Plan.objects.create(pavement=child, number=1, entered_by=by, **fields)
    return child


def _carry_sections(whole: Pavement, child: Pavement, part: Part) -> dict[int, Section]:
    """Return the part's sections by the ids of the whole's: those with a panel in it or none."""
    carried = {}
    for section in whole.sections.standing().prefetch_related("panels"):
        panels = {panel.pk for panel in section.panels.all()}
        if not panels or panels & part.panel_ids:
            fields = {name: getattr(section, name) for name in OF_SECTION}
            carried[section.pk] = Section.objects.create(pavement=child, **fields)
    return carried


def _share_panels(
    child: Pavement, panels: Iterable[Panel], sections: Mapping[int, Section], on: date
) -> dict[int, Panel]:
    """Go on with panels under the part; return them by the old ids."""
    carried_on = {}
    for old in panels:
        fields = {name: getattr(old, name) for name in OF_PANEL}
        section = sections.get(old.section_id) if old.section_id else None
        new = Panel.objects.create(
            pavement=child, section=section, replaces=old, exists_from_on=on, **fields
        )
        carried_on[old.pk] = new
    return carried_on


def _carry_outline(whole: Pavement, child: Pavement, panels: Iterable[Panel]) -> None:
    """Give the part's plan the piece of the outline that its panels lie on, where there is one."""
    plan, own = whole.plans.standing().newest_first().first(), child.plans.first()
    ground = [polygon_of(panel) for panel in panels]
    if plan is None or own is None or not (plan.outline and ground):
        return
    piece = piece_within(Polygon(plan.outline), ground)
    if piece is not None:
        own.outline = [[round(x, 3), round(y, 3)] for x, y in PlanShape(piece).points]
        own.save(update_fields=["outline"])


def _carry_seats(
    whole: Pavement, child: Pavement, sections: Mapping[int, Section], on: date
) -> None:
    """Give each seat at the whole that goes on past the split to the part too, with its end where
    that is known; one at a section only with the section.
    """
    begins = datetime.combine(on, time.min, ZoneInfo(whole.site.time_zone))
    for seat in Seat.objects.filter(pavement=whole):
        if seat.to_at is not None and seat.to_at <= max(begins, seat.from_at):
            continue
        if seat.section_id is None or seat.section_id in sections:
            Seat.objects.create(
                pavement=child,
                section=sections[seat.section_id] if seat.section_id else None,
                organisation=seat.organisation,
                role=seat.role,
                from_at=max(begins, seat.from_at),
                to_at=seat.to_at,
                warranty_last_on=seat.warranty_last_on,
                appointed_by=seat.appointed_by,
                source_document=seat.source_document,
            )
