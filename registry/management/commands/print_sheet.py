"""Print a sheet of a pavement, or a blank one, into a PDF file."""

from argparse import ArgumentParser
from functools import partial
from typing import Any
from zoneinfo import ZoneInfo

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from registry.actions.print_sheet import Print, print_sheet
from registry.faults import DomainError
from registry.models import Organisation, Pavement, PavementNumber, SheetKind
from registry.models.choices import ReadingSystem
from registry.numerals import whole_number
from registry.sheets.contents import Content, DrawnSheet
from registry.sheets.gathered import blank_content, content_of, refuse_unless_printed
from registry.sheets.printing import draw_sheet, kept_of

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
        parser.add_argument("--units", choices=tuple(UNITS), help="the pavement's own if left out")

    def handle(self, *args: Any, **options: Any) -> None:
        """Print, or say in one line why not (exit status 1)."""
        try:
            done = self._print(**options)
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
        **_: Any,
    ) -> Print:
        refuse_unless_printed(kind)
        found, whose = _pavement(pavement) if pavement else (None, None)
        if found is None and not blank:
            raise CommandError("Say which pavement, or --blank for an empty sheet.")
        system = _system(units, found)
        paper = paper or ("a4" if system == ReadingSystem.SI else "letter")
        printed = None if blank else found
        content = _content(kind, printed, system, whose)
        try:
            with open(out, "wb") as file:
                done = print_sheet(
                    kind=kind,
                    draw=partial(_draw, content, paper),
                    content=kept_of(content),
                    system=system,
                    paper=paper,
                    pavement=printed,
                    by=None,
                    organisation=None,
                )
                file.write(done.pdf)
        except OSError as error:
            raise CommandError(f"{out} cannot be written: {error.strerror}.") from error
        return done


def _content(
    kind: str, pavement: Pavement | None, system: ReadingSystem, whose: Organisation | None
) -> Content:
    if pavement is None:
        return blank_content(kind, system=system, printed_on=timezone.localdate())
    today = timezone.localdate(timezone=ZoneInfo(pavement.site.time_zone))
    return content_of(kind, pavement, system=system, printed_on=today, organisation=whose)


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
