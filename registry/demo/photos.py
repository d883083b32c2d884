"""The photos of table 1G: drawn files with what each camera noted, placed as the table says.

The file says when, how turned and where; the table what it shows. Nothing of the table's times is
written into a row by hand but the hour by which one clock was slow.
"""

from dataclasses import dataclass
from pathlib import Path

from registry.actions.add_photo import add_photo
from registry.actions.correct_photo_time import correct_photo_time
from registry.actions.make_photo_sizes import make_photo_copy, make_photo_sizes
from registry.demo.people import CONTRACTOR, Author, Cast
from registry.demo.tables import FOLDER, Line, TablesMissing, read_table
from registry.models import Defect, Panel, Pavement, Photo

NORTH_LOT = "PP-23-07"
Subject = Photo.Subject


@dataclass(frozen=True)
class Shown:
    """What a line says of its photo, in the record's own columns."""

    subject: Photo.Subject
    panel: str = ""
    place: str = ""
    place_known_by: str = ""
    facing: str = ""
    scale: str = "none"
    sent_by: str = ""
    defect: str = ""
    slow_s: float = 0.0


SHOWN = {
    "P-3301": Shown(Subject.PANEL, "C8", scale="rule"),
    "P-3302": Shown(Subject.COVER, place="C8-C9"),
    "P-3417": Shown(Subject.PANEL, "C10", place_known_by="card", facing="up"),
    "P-3560": Shown(Subject.PANEL, "D11"),
    "P-3561": Shown(Subject.DEFECT, "D10", defect="D-103", slow_s=3600.0),
    "P-3640": Shown(Subject.WHOLE, place="from a lift, up-station", facing="up"),
    "P-3702": Shown(Subject.WHOLE, place="by entrance", sent_by="message"),
}
"""`scale` is left blank where the table says "yes" and not which, and how a panel is known where it
does not say."""


def add_photos(cast: Cast, pavements: dict[str, Pavement]) -> int:
    """Store the photos of table 1G, which the contractor keeps for its file; return how many."""
    author = cast.as_author(CONTRACTOR)
    lines = read_table("1G_photos")
    for line in lines:
        _add(line, pavements[NORTH_LOT], author)
    return len(lines)


def _add(line: Line, lot: Pavement, author: Author) -> None:
    number, shown = line["photo"], SHOWN[line["photo"]]
    which = "" if line["scale in picture"] == "yes" else shown.scale
    row = Photo(
        pavement=lot,
        number=number,
        subject=shown.subject,
        defect=Defect.objects.get(other_number=shown.defect) if shown.defect else None,
        panel=_first_panel(lot, shown.panel),
        place=shown.place,
        place_known_by=shown.place_known_by,
        facing=shown.facing,
        scale=which,
        sent_by=shown.sent_by,
        note=f"{line['shows']}; {line['handling']}.",
        as_written={name: line[name] for name in line if name != "photo"},
    )
    path = _file(number)
    photo = add_photo(row, path.read_bytes(), name=path.name, **author).photo
    if shown.slow_s:
        correct_photo_time(
            photo, clock_error_s=-shown.slow_s, why=line["device and position"], **author
        )
    # Small files: they are ready to be looked at before a worker runs.
    make_photo_sizes(photo.file_id)
    make_photo_copy(photo.pk)


def _file(number: str) -> Path:
    found = sorted((FOLDER / "photos").glob(f"{number}.*"))
    if not found:
        raise TablesMissing(f"The picture of {number} is not here. It is part of a checkout.")
    return found[0]


def _first_panel(lot: Pavement, name: str) -> Panel | None:
    """Return the panel as first placed: all photos are older than the new ones of 2025."""
    return lot.panels.standing().get(name=name, replaces=None) if name else None
