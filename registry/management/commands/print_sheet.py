"""Print a sheet of a pavement, a crew's day sheet, or a blank one, into a PDF file."""

from argparse import ArgumentParser
from collections.abc import Callable
from datetime import date
from functools import partial
from typing import Any
from zoneinfo import ZoneInfo

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from registry.actions.ask_for_dossier import ask_for_dossier
from registry.actions.make_dossier import make_dossier
from registry.actions.print_sheet import Print, print_sheet
from registry.faults import DomainError
from registry.gathering.crew_day import gather_crew_day
from registry.gathering.dossier_files import open_dossier
from registry.models import Crew, Organisation, Pavement, PavementNumber, SheetKind, WorkOrder
from registry.models.choices import ReadingSystem
from registry.numerals import whole_number
from registry.sheets.contents import Content, DrawnSheet
from registry.sheets.day_content import blank_day, day_content
from registry.sheets.gathered import (
    blank_content,
    content_of,
    refuse_unless_printed,
)
from registry.sheets.printing import draw_sheet, kept_of
from registry.units import System, read_date

UNITS = {"us": ReadingSystem.INCH_POUND, "si": ReadingSystem.SI}


class Command(BaseCommand):
    help = "Print a sheet with the next number and write it as PDF."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("kind", metavar="KIND", help=", ".join(SheetKind.values))
        parser.add_argument(
            "pavement",
            metavar="PAVEMENT",
            nargs="?",
            help="any organisation's number of it, or its id; left out for a blank sheet",
        )
        parser.add_argument("--out", required=True, metavar="FILE")
        parser.add_argument("--paper", choices=("letter", "a4"))
        parser.add_argument(
            "--blank",
            action="store_true",
            help="nothing of a pavement is printed; PAVEMENT then only says which units",
        )
        parser.add_argument("--crew", help="name or id of the crew, of a day sheet")
        parser.add_argument(
            "--on",
            metavar="DATE",
            help="day of a day sheet, a load sheet or a cover walk card, 2026-09-14",
        )
        parser.add_argument("--callback", help="number of the callback, of a dossier")
        parser.add_argument("--units", choices=tuple(UNITS), help="the pavement's own if left out")

    def handle(self, *args: Any, **options: Any) -> None:
        """Print, or say in one line why not (exit status 1)."""
        try:
            printing = OF_THEIR_OWN.get(options["kind"], self._print)
            done = printing(**options)
        except DomainError as error:
            raise CommandError(error.message) from error
        pages = f"{done.row.pages} page{'' if done.row.pages == 1 else 's'}"
        self.stdout.write(
            f"{done.row.number}: {pages}, {done.row.get_paper_display()}, {options['out']}"
        )

    def _print(
        self,
        *,
        kind: str,
        pavement: str | None,
        out: str,
        paper: str | None,
        units: str | None,
        blank: bool,
        on: str | None,
        **_: Any,
    ) -> Print:
        refuse_unless_printed(kind)
        found, whose = _pavement(pavement) if pavement else (None, None)
        if found is None and not blank:
            raise CommandError("Say which pavement, or --blank for an empty sheet.")
        system = _system(units, found)
        paper = paper or _paper(system)
        printed = None if blank else found
        day = read_date(on) if on else None
        content = _content(kind, printed, system, whose, day)
        return _write(out, kind, content, system, paper, pavement=printed)


def _write(
    out: str,
    kind: str,
    content: Content,
    system: ReadingSystem,
    paper: str,
    *,
    pavement: Pavement | None = None,
    crew: Crew | None = None,
) -> Print:
    try:
        with open(out, "wb") as file:
            done = print_sheet(
                kind=kind,
                draw=partial(_draw, content, paper),
                content=kept_of(content),
                system=system,
                paper=paper,
                pavement=pavement,
                crew=crew,
                by=None,
                organisation=None,
            )
            file.write(done.pdf)
    except OSError as error:
        raise CommandError(f"{out} cannot be written: {error.strerror}.") from error
    return done


def _print_day(
    *,
    crew: str | None,
    on: str | None,
    out: str,
    paper: str | None,
    units: str | None,
    blank: bool,
    pavement: str | None,
    **_: Any,
) -> Print:
    """Print the day sheet of a crew, as whoever runs the record sees it, or a blank one."""
    if pavement:
        raise CommandError("A day sheet is of a crew, not of a pavement: --crew CREW --on DATE.")
    if blank:
        system = _system(units, None)
        content = blank_day(System(system), timezone.localdate())
        return _write(out, SheetKind.DAY, content, system, paper or _paper(system))
    if not crew or not on:
        raise CommandError("Say which crew and day: --crew CREW --on DATE; or --blank.")
    found = _crew(crew)
    own = found.organisation
    system = UNITS[units] if units else ReadingSystem(own.system)
    day = gather_crew_day(found, read_date(on), WorkOrder.objects.all(), zone=own.time_zone)
    today = timezone.localdate(timezone=ZoneInfo(own.time_zone))
    content = day_content(day, System(system), today)
    return _write(out, SheetKind.DAY, content, system, paper or _paper(system), crew=found)


def _print_dossier(
    *,
    pavement: str | None,
    out: str,
    paper: str | None,
    units: str | None,
    callback: str | None,
    blank: bool,
    **_: Any,
) -> Print:
    """Make the dossier of a callback of what both sides may share, and write its pages."""
    if blank or not pavement:
        raise CommandError("A dossier is of a callback: say at which pavement, and --callback.")
    found, _whose = _pavement(pavement)
    rows = found.callbacks.standing().order_by("-pk")
    claim = (rows.filter(number=callback) if callback else rows).first()
    if claim is None:
        raise CommandError(f"No callback {callback or ''} at {found}.".replace("  ", " "))
    system = _system(units, found)
    row = ask_for_dossier(
        callback=claim, organisation=None, by=None, system=system, paper=paper or _paper(system),
        prepared_by="whoever runs the record",
    )  # fmt: skip
    make_dossier(row.pk)
    row.refresh_from_db()
    if row.sheet is None:
        raise CommandError(f"The dossier was not made: {row.why}")
    with open_dossier(row, "pdf") as made:
        return _written(out, Print(row.sheet, made.read()))


def _written(out: str, done: Print) -> Print:
    try:
        with open(out, "wb") as file:
            file.write(done.pdf)
    except OSError as error:
        raise CommandError(f"{out} cannot be written: {error.strerror}.") from error
    return done


OF_THEIR_OWN: dict[str, Callable[..., Print]] = {
    SheetKind.DAY: _print_day,
    SheetKind.DOSSIER: _print_dossier,
}
"""Kinds that are not of a pavement alone."""


def _paper(system: str) -> str:
    return "a4" if system == ReadingSystem.SI else "letter"


def _crew(ref: str) -> Crew:
    """The crew of a name, or with an id; never one of several."""
    rows = Crew.objects.standing().select_related("organisation", "machine", "depot")
    found = list(rows.filter(name__iexact=ref))
    number = whole_number(ref)
    if not found and number is not None:
        found = list(rows.filter(pk=number))
    if not found:
        raise CommandError(f"No crew has the name or id {ref}.")
    if len(found) > 1:
        listed = "; ".join(f"id {row.pk} of {row.organisation}" for row in found)
        raise CommandError(f"{ref} is the name of several crews. Give the id: {listed}.")
    return found[0]


def _content(
    kind: str,
    pavement: Pavement | None,
    system: ReadingSystem,
    whose: Organisation | None,
    on: date | None,
) -> Content:
    if pavement is None:
        return blank_content(kind, system=system, printed_on=timezone.localdate())
    today = timezone.localdate(timezone=ZoneInfo(pavement.site.time_zone))
    return content_of(kind, pavement, system=system, printed_on=today, organisation=whose, on=on)


def _draw(content: Content, paper: str, number: str) -> DrawnSheet:
    return draw_sheet(content, number=number, public_url=settings.PUBLIC_URL, paper=paper)


def _system(units: str | None, pavement: Pavement | None) -> ReadingSystem:
    if units:
        return UNITS[units]
    if pavement is None:
        raise CommandError("A blank sheet needs --units us or --units si.")
    return ReadingSystem(pavement.sheet_system)


def _pavement(ref: str) -> tuple[Pavement, Organisation | None]:
    """The pavement that bears a number, or has an id; never one of several.

    With it the organisation whose number was given: on the sheet that number is the own one.
    """
    numbered = PavementNumber.objects.filter(number__iexact=ref, is_taken_back=False)
    pavements = Pavement.objects.standing().select_related("site")
    found = list(pavements.filter(numbers__in=numbered).distinct().order_by("pk"))
    number = whole_number(ref)
    if not found and number is not None:
        found = list(pavements.filter(pk=number))
    if not found:
        raise CommandError(f"No pavement has the number or id {ref}.")
    if len(found) > 1:
        listed = "; ".join(f"id {p.pk} {p.name}, {p.site}" for p in found)
        raise CommandError(f"{ref} is the number of several pavements. Give the id: {listed}.")
    bearers = list(numbered.filter(pavement=found[0]).select_related("organisation"))
    return (found[0], bearers[0].organisation if len(bearers) == 1 else None)
