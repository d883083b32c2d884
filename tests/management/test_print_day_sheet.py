"""The day sheet of a crew from the command line."""

from datetime import date
from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from registry.models import PrintedSheet
from tests.factories import CrewFactory, WorkOrderFactory
from tests.sheets import printed

pytestmark = pytest.mark.django_db


def run(*words):
    out = StringIO()
    call_command("print_sheet", *(str(word) for word in words), stdout=out)
    return out.getvalue()


def test_day_sheet_of_a_crew_found_by_name_or_id_is_written(tmp_path):
    crew = CrewFactory(name="Wash crew", organisation__system="si")
    order = WorkOrderFactory(crew=crew, state="dated", dated_for=date(2026, 9, 14))
    file = tmp_path / "day.pdf"
    for nth, ref in enumerate(("wash crew", crew.pk), start=1):
        said = run("day", "--crew", ref, "--on", "2026-09-14", "--out", file)
        assert said == f"DAY-000{nth}: 1 page, A4, {file}\n"
    assert order.number in printed.words(file.read_bytes())[0]
    assert {sheet.crew for sheet in PrintedSheet.objects.all()} == {crew}


def test_blank_day_sheet_needs_only_its_units(tmp_path):
    file = tmp_path / "day.pdf"
    assert run("day", "--blank", "--units", "us", "--out", file).startswith("DAY-0001: 1 page, Let")
    assert PrintedSheet.objects.get().crew is None


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "Say which crew and day"),
        (("--crew", "crew 9"), "Say which crew and day"),
        (("--crew", "nobody", "--on", "2026-09-14"), "No crew has the name or id nobody."),
        (("--crew", "twice", "--on", "2026-09-14"), "twice is the name of several crews."),
        (("--crew", "one", "--on", "14.9."), "“14.9.” is not a date"),
        (("North lot", "--crew", "one", "--on", "2026-09-14"), "A day sheet is of a crew"),
        (("--blank",), "A blank sheet needs --units"),
    ],
)
def test_what_cannot_be_printed_is_said_and_takes_no_number(tmp_path, words, said):
    for name in ("twice", "twice", "one"):
        CrewFactory(name=name)
    with pytest.raises(CommandError, match=said.replace(".", r"\.")):
        run("day", *words, "--out", tmp_path / "day.pdf")
    assert not PrintedSheet.objects.exists()
