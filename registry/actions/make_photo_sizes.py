"""Make the sizes in which a photo is shown, in the background, one photo at a time."""

from django.db import transaction

from registry.actions.keep_photo_file import keep_photo_file
from registry.gathering.photo_files import copy_name, has_copy, read_original, size_name
from registry.imaging import PhotoRefused, copy_to_hand_out, make_sizes, read_covers
from registry.models import Photo, PhotoFile

COPY_LONGEST_PX = 4096
"""Of a copy to hand out: a photo of 12 megapixels stays whole, 100 are made smaller."""

TOO_MUCH_MEMORY = (
    "It needs more memory to be opened than this server has. Send it as JPEG, or with fewer pixels."
)


def make_photo_sizes(file_id: int) -> str:
    """Make the sizes of a file and return what became of it; done twice it changes nothing.

    What cannot be decoded is kept with its reason; the original stays as it came.
    """
    file = PhotoFile.objects.get(pk=file_id)
    if file.sizes_state != "waiting":
        return str(file.sizes_state)
    try:
        sizes = make_sizes(read_original(file))
    except PhotoRefused as fault:
        return _note(file, sizes_state="refused", sizes_why=fault.message[:240])
    except MemoryError:
        return _note(file, sizes_state="refused", sizes_why=TOO_MUCH_MEMORY)
    for name, view in (("list", sizes.in_list), ("page", sizes.on_page)):
        keep_photo_file(size_name(file.sha256, name), view.data)
    return _note(
        file,
        sizes_state="made",
        list_width_px=sizes.in_list.width_px,
        list_height_px=sizes.in_list.height_px,
        page_width_px=sizes.on_page.width_px,
        page_height_px=sizes.on_page.height_px,
    )


def make_photo_copy(photo_id: int) -> bool:
    """Make the copy of a photo to hand out, its covers filled; return whether there is one."""
    photo = Photo.objects.select_related("file").get(pk=photo_id)
    if has_copy(photo):
        return True
    try:
        copy = copy_to_hand_out(
            read_original(photo.file), read_covers(photo.covers), COPY_LONGEST_PX
        )
    except (PhotoRefused, MemoryError):  # `make_photo_sizes` stores the reason, and pages show it
        return False
    keep_photo_file(copy_name(photo), copy.data)
    return True


def give_up_sizes(file_id: int, *, begun: int) -> str:
    """Say of a photo whose worker was killed each time that no more is tried; return its state."""
    why = (
        f"Making it ready for view was begun {begun} times and broke off each time, most likely "
        "for want of memory. Send it as JPEG, or with fewer pixels."
    )
    return _note(PhotoFile.objects.get(pk=file_id), sizes_state="refused", sizes_why=why)


@transaction.atomic
def _note(file: PhotoFile, **found: object) -> str:
    PhotoFile.objects.filter(pk=file.pk, sizes_state="waiting").update(**found)
    return str(found["sizes_state"])
