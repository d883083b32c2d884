"""Rows of a pavement gathered into what its sheets say, always with as many queries."""

from collections.abc import Callable
from datetime import date

from registry.gathering.known_defects import Seen
from registry.gathering.layouts import assemble_layout, current_plan
from registry.models import (
    Organisation,
    Pavement,
    PlacingDay,
    Plan,
    SheetKind,
    Spot,
    SpotDraw,
)
from registry.plan import Layout, PlaceError, read_place, rounded, to_place, to_plan, write_place
from registry.plan.lengths import write_length
from registry.sheets.box import SheetError
from registry.sheets.contents import (
    Content,
    CoverContent,
    Heading,
    InfiltrationContent,
    InspectionContent,
    LoadContent,
    PlannedSpot,
    SweepContent,
)
from registry.sheets.hand_over_content import (
    blank_hand_over,
    certificate_to_print,
    hand_over_content,
)
from registry.sheets.known_rows import all_of, known_defects
from registry.sheets.placing_sheets import cover_content, day_to_print, load_content
from registry.sheets.sweep_order import next_order, sweep_content
from registry.units import System

TITLES = {
    SheetKind.INSPECTION: "INSPECTION",
    SheetKind.INFILTRATION: "INFILTRATION TEST",
    SheetKind.SWEEP: "SWEEP WORK ORDER",
    SheetKind.LOAD: "LOAD SHEET",
    SheetKind.COVER: "COVER WALK CARD",
    SheetKind.HANDOVER: "HAND-OVER CERTIFICATE",
}


BLANK: dict[str, Callable[[Heading], Content]] = {
    SheetKind.INSPECTION: InspectionContent,
    SheetKind.SWEEP: SweepContent,
    SheetKind.LOAD: LoadContent,
    SheetKind.COVER: CoverContent,
    SheetKind.HANDOVER: blank_hand_over,
}


OF_A_DAY: dict[str, Callable[[PlacingDay, Heading], Content]] = {
    SheetKind.LOAD: load_content,
    SheetKind.COVER: cover_content,
}


class NotPrintedYet(SheetError):
    """A kind of sheet that this version does not print."""


def refuse_unless_printed(kind: str) -> SheetKind:
    """Return the kind where it can be printed. Raises SheetError in words where it cannot."""
    if kind not in SheetKind.values:
        known = ", ".join(SheetKind.values)
        raise SheetError(f"“{kind}” is not a kind of sheet; there are {known}.")
    if kind not in TITLES:
        raise NotPrintedYet(f"The {SheetKind(kind).label} cannot be printed yet.")
    return SheetKind(kind)


def blank_content(kind: str, *, system: System | str, printed_on: date) -> Content:
    """A sheet without a pavement, with the same places as a filled one."""
    chosen = refuse_unless_printed(kind)
    heading = Heading(TITLES[chosen], System(system), printed_on, is_blank=True)
    return BLANK.get(chosen, InfiltrationContent)(heading)


def content_of(
    kind: str,
    pavement: Pavement,
    *,
    system: System | str,
    printed_on: date,
    organisation: Organisation | None,
    seen: Seen | None = None,
    on: date | None = None,
) -> Content:
    """What a sheet of a pavement says on a day, for the organisation whose number is its own.

    seen: the defects that its reader is shown; None prints all that stand, for whoever runs the
    record itself. on: the placing day of a load sheet or cover walk card, None for the newest.
    """
    chosen, system = refuse_unless_printed(kind), System(system)
    plan = current_plan(pavement)
    layout = _layout(plan, pavement, system)
    heading = heading_of(TITLES[chosen], pavement, plan, system, printed_on, organisation)
    if chosen == SheetKind.SWEEP:
        return sweep_content(next_order(pavement), heading, layout, printed_on)
    if chosen in OF_A_DAY:
        return OF_A_DAY[chosen](day_to_print(pavement, on), heading)
    if chosen == SheetKind.HANDOVER:
        return hand_over_content(certificate_to_print(pavement), heading)
    spots = _fixed_points(pavement)
    if chosen == SheetKind.INSPECTION:
        planned = tuple(_planned(spot, layout, pavement, system, printed_on) for spot in spots)
        known = known_defects(pavement, layout, seen or all_of(pavement), system, printed_on)
        return InspectionContent(heading, layout, planned, known)
    spots += _drawn_spots(pavement)
    planned = tuple(_planned(spot, layout, pavement, system, printed_on) for spot in spots)
    return InfiltrationContent(heading, planned, pavement.test_method)


def _layout(plan: Plan | None, pavement: Pavement, system: System) -> Layout | None:
    if plan is None:
        return None
    panels = pavement.panels.standing().on_plan(plan).select_related("cut_from")
    return assemble_layout(plan, panels, pavement, system)


def heading_of(
    title: str,
    pavement: Pavement,
    plan: Plan | None,
    system: System,
    printed_on: date,
    organisation: Organisation | None,
) -> Heading:
    """The head of a pavement's paper, with the number the organisation gave as its own."""
    own: list[str] = []
    others: list[str] = []
    for row in pavement.numbers.filter(is_taken_back=False):
        if row.to_on is not None and row.to_on <= printed_on:
            continue
        mine = organisation is not None and row.organisation_id == organisation.pk
        (own if mine else others).append(row.number)
    return Heading(
        title=title,
        system=system,
        printed_on=printed_on,
        pavement=pavement.name,
        street=pavement.site.address or pavement.site.name,
        own_number=", ".join(own),
        other_numbers=tuple(others),
        plan_number=plan.number if plan else None,
    )


def _fixed_points(pavement: Pavement) -> list[Spot]:
    return list(Spot.objects.fixed().filter(pavement=pavement).select_related("panel"))


def _drawn_spots(pavement: Pavement) -> list[Spot]:
    """Spots of the latest draw in the order taken: spares stand last."""
    latest = SpotDraw.objects.standing().filter(pavement=pavement).order_by("-number")
    drawn = Spot.objects.standing().filter(draw__in=latest.values("pk")[:1], is_fixed=False)
    return list(drawn.filter(ended_on__isnull=True).order_by("pk"))


def _planned(
    spot: Spot, layout: Layout | None, pavement: Pavement, system: System, on: date
) -> PlannedSpot:
    place, point = _where(spot, layout, pavement, system, on)
    right_m, up_m = point or (None, None)
    return PlannedSpot(
        name=spot.name,
        place=place,
        stratum=spot.get_stratum_display() if spot.stratum else "",
        is_fixed=spot.is_fixed,
        right_m=right_m,
        up_m=up_m,
    )


def _where(
    spot: Spot, layout: Layout | None, pavement: Pavement, system: System, on: date
) -> tuple[str, tuple[float, float] | None]:
    """The place in the units of the sheet, and its point on the plan where that is known."""
    if spot.right_m is not None and spot.up_m is not None:
        point = (spot.right_m, spot.up_m)
        return (_place_at(point, layout, system, on) or spot.place, point)
    if not spot.place:
        return ("", None)
    try:
        place = read_place(spot.place, System(pavement.sheet_system))
        if system != pavement.sheet_system:
            place = rounded(place, system)
        shape = to_plan(place, layout, on) if layout is not None else None
    except PlaceError:  # older sheets name places in words: they are printed as written
        return (spot.place, _middle_of_panel(spot, on))
    return (write_place(place, system), shape.centre if shape is not None else None)


def _middle_of_panel(spot: Spot, on: date) -> tuple[float, float] | None:
    """Return the middle of the panel that a spot was put in, where that is all that is known."""
    panel = spot.panel
    if panel is None or (panel.exists_to_on is not None and panel.exists_to_on <= on):
        return None
    return (panel.right_m + panel.width_m / 2, panel.up_m + panel.length_m / 2)


def _place_at(point: tuple[float, float], layout: Layout | None, system: System, on: date) -> str:
    """A point as a place on the plan, or as right and up from the datum where it lies off it."""
    if layout is not None:
        try:
            return write_place(rounded(to_place(*point, layout, on), system), system)
        except PlaceError:
            pass  # beside the panels; right and up from the datum still find it
    return f"R {write_length(point[0], system)} U {write_length(point[1], system)}"
