"""What is laid over photos: then and now, marks, and covers of copies that go out."""

from typing import Any

from django.contrib import messages
from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from registry import access
from registry.access.carried_defects import visible_before_split, visible_photos_over_splits
from registry.access.defects import get_photo, is_own, visible_photos
from registry.access.photos import visible_marks
from registry.actions.mark_photo import cover_photo, mark_photo
from registry.actions.pair_photos import pair_photos
from registry.faults import DomainError
from registry.forms.photo import PairForm
from registry.forms.photo_marks import CoversForm, MarksForm
from registry.models import Pavement, Person, Photo
from registry.models.photo import PhotoQuerySet
from registry.views.pavement import local_today
from registry.views.photo import pavement_of, shapes_on
from registry.views.title import title_block_of


@require_http_methods(["GET", "POST"])
def photo_pair(request: HttpRequest, pk: int) -> HttpResponse:
    """Show then and now side by side; its own side says which two belong together."""
    photo = get_photo(request.user, pk, to="correct" if request.method == "POST" else "read")
    pavement = pavement_of(photo)
    seen = _seen(request.user, pavement, photo)
    form = PairForm(request.POST or None, photos=seen, initial={"then": photo.pair_of_id})
    if request.method == "POST" and form.is_valid():
        then = form.cleaned_data["then"]
        given = {"by": request.user, "organisation": photo.entered_for}
        if _done(form, pair_photos, photo, then=then, **given):
            messages.success(request, "Stored: then and now.")
            return redirect("photo_pair", pk)
    paired = visible_photos_over_splits(request.user, pavement).select_related("file")
    context = {
        "then": paired.filter(pk=photo.pair_of_id).first(),
        "form": form if is_own(request.user, pavement, photo) and not photo.is_void else None,
    }
    return _render(request, "photo/pair.html", photo, context)


def _seen(person: Person, pavement: Pavement, photo: Photo) -> PhotoQuerySet:
    """Return what it may be paired with: of the same defect or panel where it names one."""
    if photo.defect is not None:
        before = visible_before_split(person, photo.defect)
        rows = visible_photos_over_splits(person, pavement).exclude(pk=photo.pk)
        return rows.filter(defect__in=[photo.defect, *before]).for_list().in_order()
    seen = visible_photos(person, pavement).for_list().exclude(pk=photo.pk).in_order()
    return seen.filter(panel=photo.panel_id) if photo.panel_id else seen


@require_http_methods(["GET", "POST"])
def photo_marks(request: HttpRequest, pk: int) -> HttpResponse:
    """Draw over a photo. A side draws its own marks and sees those it may."""
    photo = get_photo(request.user, pk, to="add_photo")
    pavement = pavement_of(photo)
    side = access.acting_organisation(request.user, pavement, "add_photo")
    rows = visible_marks(request.user, photo)
    drawn = [mark for row in rows if row.entered_for_id == side.pk for mark in row.drawn]
    form = MarksForm(request.POST or None, initial={"marks": drawn})
    if request.method == "POST" and form.is_valid():
        marks = form.cleaned_data["marks"]
        if _done(form, mark_photo, photo, marks, by=request.user, organisation=side):
            messages.success(request, "Stored: the marks, apart from the picture.")
            return redirect("photo_page", pk)
    others = [row for row in rows if row.entered_for_id != side.pk]
    context = {"form": form, "shapes": shapes_on(photo, others), "drawn": "marks"}
    return _render(request, "photo/marks.html", photo, context)


@require_http_methods(["GET", "POST"])
def photo_covers(request: HttpRequest, pk: int) -> HttpResponse:
    """Cover faces and plates in copies that go out; the original stays as it came."""
    photo = get_photo(request.user, pk, to="correct")
    stored = {"covers": photo.covers, "shown_to": photo.shown_to}
    form = CoversForm(request.POST or None, initial=stored)
    if request.method == "POST" and form.is_valid():
        given = {"by": request.user, "organisation": photo.entered_for, **form.cleaned_data}
        if _done(form, cover_photo, photo, **given):
            messages.success(request, "Stored: what others see of this photo.")
            return redirect("photo_page", pk)
    return _render(request, "photo/covers.html", photo, {"form": form, "drawn": "covers"})


def _done(form: BaseForm, act: Any, *what: Any, **given: Any) -> bool:
    """Call an action; what it refuses stands above the form."""
    try:
        act(*what, **given)
    except DomainError as fault:
        form.add_error(None, fault.message)
        return False
    return True


def _render(
    request: HttpRequest, template: str, photo: Photo, context: dict[str, Any]
) -> HttpResponse:
    pavement = pavement_of(photo)
    head = title_block_of(request.user, pavement, as_of=local_today(pavement))
    return render(
        request, template, {"photo": photo, "pavement": pavement, "head": head, **context}
    )
