"""Photos of a pavement: send, list, look at, put the time right, void."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import UploadedFile
from django.core.paginator import Paginator
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from registry import access
from registry.access.carried_defects import visible_photos_over_splits
from registry.access.defects import (
    get_photo,
    is_own,
    visible_defects,
    visible_photos,
    visible_visits,
)
from registry.access.photo_extents import may_measure, visible_extents
from registry.access.photos import lines_of_photo, sees_original, visible_marks
from registry.actions.add_photo import add_photo
from registry.actions.correct_photo import correct_photo
from registry.actions.correct_photo_time import correct_photo_time
from registry.actions.try_photo_again import try_photo_again
from registry.actions.void_entry import void_entry
from registry.faults import DomainError
from registry.forms.many_files import lost_of
from registry.forms.photo import PhotoCorrectForm, PhotoForm, PhotoTimeForm
from registry.forms.reason import ReasonForm
from registry.forms.uploads import NAMELESS
from registry.gathering.photo_files import has_copy
from registry.gathering.photo_jobs import copy_broke_off, sizes_broke_off
from registry.gathering.photo_stamps import why_undated
from registry.imaging import Shape, read_marks, shapes_of
from registry.imaging.accept import MOST_BYTES
from registry.models import Organisation, Panel, Pavement, Person, Photo, PhotoMarks
from registry.numerals import whole_number
from registry.views.corrected import tell_corrected
from registry.views.entry import try_action
from registry.views.pavement import local_today
from registry.views.title import TitleBlock, title_block_of

A_PAGE = 200


@dataclass(frozen=True)
class Sent:
    """What became of one file: a photo on record, or why it was not stored."""

    name: str
    photo: Photo | None = None
    is_new: bool = True
    why: str = ""


@require_http_methods(["GET", "POST"])
def photo_add(request: HttpRequest, pk: int) -> HttpResponse:
    """Send photos; those that can be kept are stored, the others named with the reason."""
    pavement = access.get_pavement(request.user, pk, to="add_photo")
    form = _form(request, pavement)
    sent: list[Sent] = []
    if request.method == "POST" and form.is_valid():
        organisation = access.acting_organisation(request.user, pavement, "add_photo")
        files = form.cleaned_data["chosen"]
        sent = [_take_in(file, form, request.user, organisation) for file in files]
        if lost := lost_of(form, "chosen"):
            sent.append(Sent("lost on the way", why=lost))
        if all(one.photo for one in sent):
            messages.success(request, _told(sent), extra_tags=f"photo-{pk}")
            return redirect(_after(request, sent, pavement))
    context = {"pavement": pavement, "form": form, "sent": sent, "next": _next(request)}
    return render(request, "photo/add.html", {**context, "head": _head(request, pavement)})


def _take_in(
    file: UploadedFile, form: PhotoForm, person: Person, organisation: Organisation
) -> Sent:
    """Store one file of several; each stands for itself."""
    name = file.name or NAMELESS
    if (file.size or 0) > MOST_BYTES:  # told before it is read into memory
        return Sent(
            name,
            why=f"The photo has {(file.size or 0) / 1e6:.1f} MB; up to {MOST_BYTES / 1e6:.0f} MB "
            "are taken.",
        )
    try:
        added = add_photo(
            form.entry(), file.read(), name=name, by=person, organisation=organisation
        )
    except DomainError as fault:
        return Sent(name, why=fault.message)
    except ValidationError as fault:
        return Sent(name, why=" ".join(fault.messages))
    return Sent(name, added.photo, added.is_new)


def _told(sent: list[Sent]) -> str:
    new = sum(one.is_new for one in sent)
    there = len(sent) - new
    told = [f"Stored: {new} photo{'s' if new != 1 else ''}."] if new else []
    if there:
        told.append(
            f"On record already as this very file of this thing, and left as it is: {there}."
        )
    return " ".join(told)


@require_safe
def photo_list(request: HttpRequest, pk: int) -> HttpResponse:
    """Show the photos of a pavement, newest first, undated ones last; `?panel=` of one panel."""
    pavement = access.get_pavement(request.user, pk)
    photos = visible_photos(request.user, pavement).for_list().newest_first()
    panel = _asked_panel(request, pavement)
    if panel is not None:
        photos = photos.filter(panel=panel)
    page = Paginator(photos, A_PAGE).get_page(request.GET.get("page"))
    context = {
        "pavement": pavement,
        "head": _head(request, pavement),
        "page": page,
        "panel": panel,
        "query": f"panel={panel.pk}&" if panel else "",
        "may_add": access.may(request.user, pavement, "add_photo"),
    }
    return render(request, "photo/list.html", context)


def _asked_panel(request: HttpRequest, pavement: Pavement) -> Panel | None:
    """Return the panel whose photos alone are asked for; 404 where there is no such panel."""
    asked = request.GET.get("panel", "")
    if not asked:
        return None
    number = whole_number(asked, most_figures=18)
    return get_object_or_404(pavement.panels.all(), pk=number)


@require_safe
def photo_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a photo as seen, its marks, and what is known of it."""
    photo = get_photo(request.user, pk)
    pavement = pavement_of(photo)
    marks = visible_marks(request.user, photo)
    seen = visible_photos(request.user, pavement)
    context = {
        "photo": photo,
        "pavement": pavement,
        "head": _head(request, pavement),
        "shapes": shapes_on(photo, marks),
        "marks": marks,
        "then": _then(request.user, photo),
        "later": seen.standing().filter(pair_of=photo),
        "undated": why_undated(photo),
        "sees_original": sees_original(request.user, photo),
        **_made(photo),
        **_measured(request.user, photo),
        "lines": lines_of_photo(request.user, photo),
        "is_own": is_own(request.user, pavement, photo) and not photo.is_void,
        "may_draw": access.may(request.user, pavement, "add_photo") and not photo.is_void,
        "void_form": ReasonForm(auto_id="void_%s"),
    }
    return render(request, "photo/page.html", context)


def _made(photo: Photo) -> dict[str, bool]:
    """Say what of a photo is made for view, and what nobody is making any more."""
    return {
        "has_copy": has_copy(photo),
        "sizes_broke_off": sizes_broke_off(photo.file),
        "copy_broke_off": copy_broke_off(photo),
    }


def _then(person: Person, photo: Photo) -> Photo | None:
    """The earlier photo of the pair, which may have been taken before the pavement was split."""
    seen = visible_photos_over_splits(person, pavement_of(photo))
    return seen.filter(pk=photo.pair_of_id).first()


def _measured(person: Person, photo: Photo) -> dict[str, Any]:
    return {"extents": visible_extents(photo), "may_measure": may_measure(person, photo)}


def shapes_on(photo: Photo, marks: Iterable[PhotoMarks]) -> tuple[Shape, ...]:
    """Return the shapes of all marks in the pixels of the page's size."""
    width, height = photo.file.page_width_px, photo.file.page_height_px
    if width is None or height is None:
        return ()
    drawn = [mark for row in marks for mark in read_marks(row.drawn)]
    return shapes_of(drawn, width, height)


def pavement_of(photo: Photo) -> Pavement:
    """Return the pavement of a photo that `get_photo` gave; it gives none without."""
    assert photo.pavement is not None
    return photo.pavement


@require_http_methods(["GET", "POST"])
def photo_correct(request: HttpRequest, pk: int) -> HttpResponse:
    """Correct what is said of a photo, by a line."""
    photo = get_photo(request.user, pk, to="correct")
    pavement = pavement_of(photo)
    rows = _things(request.user, pavement)
    form = PhotoCorrectForm(request.POST or None, stored=photo, pavement=pavement, rows=rows)
    if request.method == "POST" and form.is_valid():
        why = form.cleaned_data["why"]
        given: dict[str, Any] = {"by": request.user, "organisation": photo.entered_for, "why": why}
        if try_action(form, correct_photo, photo, changes=form.changes(), **given):
            tell_corrected(request, photo)
            return redirect("photo_page", pk)
    context = {"photo": photo, "head": _head(request, pavement), "form": form}
    return render(request, "photo/correct.html", context)


@require_http_methods(["GET", "POST"])
def photo_time(request: HttpRequest, pk: int) -> HttpResponse:
    """Put the true time beside the camera's, with how it is known."""
    photo = get_photo(request.user, pk, to="correct")
    form = PhotoTimeForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            correct_photo_time(
                photo,
                clock_error_s=form.clock_error_s,
                fold=form.chosen_fold,
                why=form.cleaned_data["why"],
                by=request.user,
                organisation=photo.entered_for,
            )
        except DomainError as fault:
            form.add_error(None, fault.message)
        else:
            messages.success(request, "Stored: the true time stands beside the camera's.")
            return redirect("photo_page", pk)
    head = _head(request, pavement_of(photo))
    context = {"photo": photo, "head": head, "form": form, "undated": why_undated(photo)}
    return render(request, "photo/time.html", context)


@require_POST
def photo_again(request: HttpRequest, pk: int) -> HttpResponse:
    """Have a photo made ready for view once more, where that was given up."""
    photo = get_photo(request.user, pk, to="add_photo")
    side = access.acting_organisation(request.user, pavement_of(photo), "add_photo")
    try:
        try_photo_again(photo, by=request.user, organisation=side)
    except DomainError as fault:
        messages.error(request, fault.message)
    else:
        messages.success(request, "It is being tried once more. Load this page again in a moment.")
    return redirect("photo_page", pk)


@require_POST
def photo_void(request: HttpRequest, pk: int) -> HttpResponse:
    """Void a photo, with a reason; it stays readable."""
    photo = get_photo(request.user, pk, to="correct")
    form = ReasonForm(request.POST)
    if not form.is_valid():
        messages.error(request, "Say why the photo is void.")
        return redirect("photo_page", pk)
    try:
        why = form.cleaned_data["why"]
        void_entry(photo, why=why, by=request.user, organisation=photo.entered_for)
    except DomainError as fault:
        messages.error(request, fault.message)
    else:
        messages.success(request, "The photo is void.")
    return redirect("photo_page", pk)


def _form(request: HttpRequest, pavement: Pavement) -> PhotoForm:
    given: dict[str, Any] = {name: request.GET[name] for name in PREFILLED if name in request.GET}
    return PhotoForm(
        request.POST or None,
        request.FILES or None,
        pavement=pavement,
        rows=_things(request.user, pavement),
        initial=given,
    )


PREFILLED = ("subject", "defect", "visit", "infiltration_test", "panel")


def _things(person: Person, pavement: Pavement) -> dict[str, QuerySet]:
    """Return what a photo may be of: what the person sees and still stands."""
    tests = access.visible_tests(person, pavement).standing().select_related("spot")
    return {
        "defect": visible_defects(person, pavement).standing(),
        "visit": visible_visits(person, pavement).standing(),
        "infiltration_test": tests,
        "panel": pavement.panels.standing().filter(exists_to_on__isnull=True),
    }


def _head(request: HttpRequest, pavement: Pavement) -> TitleBlock:
    return title_block_of(request.user, pavement, as_of=local_today(pavement))


def _next(request: HttpRequest) -> str:
    """Return the page of this site to go on to, or ""."""
    wanted = request.POST.get("next") or request.GET.get("next") or ""
    is_ours = url_has_allowed_host_and_scheme(
        wanted, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    )
    return wanted if is_ours else ""


def _after(request: HttpRequest, sent: list[Sent], pavement: Pavement) -> str:
    first = sent[0].photo
    assert first is not None
    if len(sent) == 1:
        address = redirect("photo_page", first.pk).url
    else:
        address = redirect("photo_list", pavement.pk).url
    return _next(request) or address
