"""Write out what an organisation may see: a folder of CSV files, one workbook, or GeoJSON."""

from argparse import ArgumentParser
from pathlib import Path

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from registry.exchange.files_out import FileIsThere, geojson, write_csv_folder, write_workbook
from registry.exchange.shown import shown_pavements
from registry.faults import DomainError
from registry.models import Organisation

FORMATS = ("csv", "xlsx", "geojson")


class Command(BaseCommand):
    """`export_records PATH --for ORGANISATION [--format csv|xlsx|geojson]`."""

    help = "Write out what an organisation may see. Nothing that is there is overwritten."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("path", type=Path)
        parser.add_argument("--for", dest="organisation", required=True, help="name of whose it is")
        parser.add_argument("--format", choices=FORMATS, default=FORMATS[0])

    def handle(self, **options: object) -> None:
        name, path = str(options["organisation"]), Path(str(options["path"]))
        organisation = Organisation.objects.filter(name=name).first()
        if organisation is None:
            raise CommandError(f"There is no organisation “{name}”.")
        at = timezone.now()
        shown = shown_pavements([organisation.pk], at)
        try:
            if options["format"] == "csv":
                rows = write_csv_folder(path, shown, at)
                self.stdout.write(f"{rows} rows written into {path}")
                return
            _refuse_existing(path)
            if options["format"] == "xlsx":
                with path.open("wb") as target:
                    rows = write_workbook(target, shown, at)
                self.stdout.write(f"{rows} rows written to {path}")
            else:
                with path.open("w", encoding="utf-8") as text:
                    text.writelines(geojson(shown, at))
                self.stdout.write(f"Pavements written to {path}")
        except DomainError as fault:
            raise CommandError(fault.message) from None
        except OSError as fault:
            raise CommandError(f"{path} cannot be written: {fault.strerror}.") from None


def _refuse_existing(path: Path) -> None:
    """An empty file may be there: programs make one to hold a name."""
    if path.exists() and (path.is_dir() or path.stat().st_size):
        raise FileIsThere(f"{path} is there already. Name a new file.")
