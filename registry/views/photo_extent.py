"""Measure an extent on a photo: mark a known rectangle, draw on the flat picture, land it."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.utils.http import urlencode
from django.views.decorators.http import require_http_methods, require_safe

from registry import access
from registry.access.defects import get_defect, is_own
from registry.access.photo_extents import get_photo_extent, get_photo_to_measure
from registry.actions.measure_on_photo import land_on_plan, measure_on_photo
from registry.faults import DomainError
from registry.forms.photo_extent import RECTANGLES, LandForm, OutlineForm, RectangleForm
from registry.gathering.layouts import current_plan
from registry.gathering.photo_extent import (
    KnownRectangle,
    Measured,
    flat_frame,
    lay_flat,
    measure,
    panel_size,
    photo_size,
)
from registry.gathering.placing import find_spot
from registry.imaging import LEFT_OUT, CornersRefused, Flat
from registry.models import Observation, Panel, Pavement, Photo, PhotoExtent
from registry.models.panel import PanelQuerySet
from registry.units import System
from registry.views.entry import try_action
from registry.views.pavement import local_today
from registry.views.photo import pavement_of
from registry.views.title import title_block_of

ASKED = ("rectangle", "panel", "width", "height", "home", "around", "corners", "corners_shown")


@require_http_methods(["GET", "POST"])
def photo_extent_add(request: HttpRequest, pk: int) -> HttpResponse:
    """Mark the rectangle (in the address), then draw on the flat picture and store (POST)."""
    photo = get_photo_to_measure(request.user, pk)
    form = _rectangle_form(request, photo)
    rectangle = _read(form, photo) if form.is_bound else None
    flat = _flat(form, photo, rectangle) if rectangle is not None else None
    if rectangle is None or flat is None:
        seen = photo_size(photo)[0]
        return _render(request, "photo_extent/corners.html", photo, form=form, seen_width=seen)
    draw = OutlineForm(request.POST or None, photo=photo, initial=_usual(request, photo))
    if request.method == "POST" and draw.is_valid():
        row = _store(request, photo, rectangle, draw)
        if row is not None:
            messages.success(request, "Stored: the extent measured on the photo.")
            return redirect("photo_extent_page", row.pk)
    context = {"form": draw, "flat": flat, "rectangle": rectangle, "query": _query(request.GET)}
    return _render(request, "photo_extent/outline.html", photo, left_out=LEFT_OUT, **context)


@require_safe
def photo_flat(request: HttpRequest, pk: int) -> HttpResponse:
    """Hand out the photo laid flat by the rectangle in the address."""
    photo = get_photo_to_measure(request.user, pk)
    form = _rectangle_form(request, photo)
    rectangle = _read(form, photo) if form.is_bound else None
    if rectangle is None:
        raise Http404("No rectangle is marked.")
    try:
        flat = lay_flat(photo.file, rectangle)
    except DomainError as fault:
        raise Http404(fault.message) from fault
    answer = HttpResponse(flat.data, content_type="image/jpeg")
    answer["Cache-Control"] = "private, max-age=300"
    answer["X-Content-Type-Options"] = "nosniff"
    answer["Cross-Origin-Resource-Policy"] = "same-origin"
    return answer


@require_http_methods(["GET", "POST"])
def photo_extent_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Show what was measured; its outline becomes the defect's where a person says so."""
    row = get_photo_extent(request.user, pk)
    defect = row.observation.defect if row.observation else None
    form = LandForm(request.POST or None)
    if request.method == "POST" and defect is not None and form.is_valid():
        defect = get_defect(request.user, defect.pk, to="correct")
        given = {"defect": defect, "by": request.user, "organisation": defect.entered_for}
        if try_action(form, land_on_plan, row, why=form.cleaned_data["why"], **given) is not None:
            messages.success(request, f"The outline of {defect} on the plan is the one drawn here.")
            return redirect("plan_page", defect.pavement_id)
    context = {
        "row": row,
        "defect": defect,
        "may_land": _may_land(request, row),
        "form": form,
        "seen": photo_size(row.photo),
        "corners": _svg_points(row.corners),
        "outline": _svg_points(row.outline),
    }
    return _render(request, "photo_extent/page.html", row.photo, **context)


def _svg_points(points: list[list[float]]) -> str:
    return " ".join(f"{x:.1f},{y:.1f}" for x, y in points)


def _may_land(request: HttpRequest, row: PhotoExtent) -> bool:
    if row.observation is None or not row.on_plan or row.is_void:
        return False
    pavement = pavement_of(row.photo)
    return is_own(request.user, pavement, row.observation.defect)


def _rectangle_form(request: HttpRequest, photo: Photo) -> RectangleForm:
    asked = request.GET if "rectangle" in request.GET else None
    pavement = pavement_of(photo)
    return RectangleForm(
        asked,
        panels=_panels(pavement, photo),
        system=System(pavement.sheet_system),
        initial={"panel": photo.panel_id, "rectangle": "panel" if photo.panel_id else "card"},
    )


def _panels(pavement: Pavement, photo: Photo) -> PanelQuerySet:
    """Return the panels there were on the day the photo was taken."""
    plan = current_plan(pavement)
    rows = pavement.panels.standing()
    rows = rows.on_plan(plan) if plan is not None else rows
    return rows.existing_on(photo.taken_on or local_today(pavement))


def _read(form: RectangleForm, photo: Photo) -> KnownRectangle | None:
    """Return the rectangle of a form that is right; what is refused stands beside its field."""
    if not form.is_valid():
        return None
    given = form.cleaned_data
    panel: Panel | None = given["panel"] if given["rectangle"] == "panel" else None
    try:
        size = panel_size(panel) if panel is not None else (given["width"], given["height"])
        home = (panel.right_m, panel.up_m) if panel is not None else _home(given, photo)
    except CornersRefused as fault:
        form.add_error("panel", fault.message)
        return None
    except DomainError as fault:
        form.add_error("home", fault.message)
        return None
    return KnownRectangle(
        kind=given["rectangle"],
        words=f"panel {panel.name}" if panel is not None else RECTANGLES[given["rectangle"]],
        size_m=size,
        corners=tuple(given["corners"]),
        around_m=given["around"],
        shown_px=given["corners_shown"],
        home=home,
    )


def _home(given: dict[str, Any], photo: Photo) -> tuple[float, float] | None:
    if not given["home"]:
        return None
    pavement = pavement_of(photo)
    on = photo.taken_on or local_today(pavement)
    spot = find_spot(pavement, given["home"], system=System(pavement.sheet_system), on=on)
    if spot.right_m is None or spot.up_m is None:
        raise DomainError("Write the corner as one point, such as C8 · 3.2 R · 8.5 U.")
    return spot.right_m, spot.up_m


def _flat(form: RectangleForm, photo: Photo, rectangle: KnownRectangle) -> Flat | None:
    """Return where the flat picture lies; bad corners are told beside them."""
    try:
        flat = flat_frame(rectangle, photo_size(photo))
        if rectangle.around_m is not None:
            lay_flat(photo.file, rectangle)  # so much around it may reach behind the camera
    except DomainError as fault:
        form.add_error("corners", fault.message)
        return None
    return flat


def _usual(request: HttpRequest, photo: Photo) -> dict[str, Any]:
    return {"seen_on": photo.taken_on, "seen_by": photo.taken_by or request.user.name or ""}


def _store(
    request: HttpRequest, photo: Photo, rectangle: KnownRectangle, draw: OutlineForm
) -> PhotoExtent | None:
    given, pavement = draw.cleaned_data, pavement_of(photo)
    try:
        found = measure(
            photo,
            rectangle,
            tuple(given["outline"]),
            given["outline_kind"],
            given["outline_shown"],
        )
    except DomainError as fault:
        draw.add_error("outline", fault.message)
        return None
    row = _row(photo, rectangle, found, given)
    look = _look(request, photo, given)
    side = access.acting_organisation(request.user, pavement, "record_defect")
    stored: PhotoExtent | None = try_action(
        draw, measure_on_photo, row, look=look, by=request.user, organisation=side
    )
    return stored


def _row(
    photo: Photo, rectangle: KnownRectangle, found: Measured, given: dict[str, Any]
) -> PhotoExtent:
    return PhotoExtent(
        photo=photo,
        rectangle=rectangle.words,
        rectangle_width_m=rectangle.size_m[0],
        rectangle_height_m=rectangle.size_m[1],
        corners=[list(corner) for corner in rectangle.corners],
        outline=[list(point) for point in found.in_photo],
        outline_kind=given["outline_kind"],
        on_plan=[list(point) for point in found.on_plan],
        value=found.value,
        error=found.error,
        note=given["note"],
    )


def _look(request: HttpRequest, photo: Photo, given: dict[str, Any]) -> Observation | None:
    """Return the look the photo belongs to if one's own; else a new one at its defect, if any."""
    look = photo.observation
    if look is not None and is_own(request.user, pavement_of(photo), look):
        return look
    defect = look.defect if look is not None else photo.defect
    if defect is None:
        return None
    if look is not None:  # of another side: one's own look stands beside it, of the same day
        return Observation(defect=defect, seen_on=look.seen_on, seen_by=photo.taken_by)
    return Observation(defect=defect, seen_on=given["seen_on"], seen_by=given["seen_by"])


def _query(asked: QueryDict) -> str:
    return urlencode([(name, str(asked[name])) for name in ASKED if name in asked])


def _render(request: HttpRequest, template: str, photo: Photo, **context: Any) -> HttpResponse:
    pavement = pavement_of(photo)
    head = title_block_of(request.user, pavement, as_of=local_today(pavement))
    return render(
        request, template, {"photo": photo, "pavement": pavement, "head": head, **context}
    )
