"""Sheets copied in with what no keyboard types, twice, and under numbers of others."""

from django.urls import reverse

from registry.models import Cleaning, PrintedSheet, SheetCopy
from tests import factories
from tests.sheets.rows_of_lot import lot_of
from tests.views.record import manager_of, wrongs
from tests.views.test_sweep_copy import done, lot, order, sheet

__all__ = ["lot", "order", "sheet"]


def test_nul_is_told_in_the_first_copy_and_kept_readable_in_a_double(client, order, sheet):
    first = done(client, sheet, operator="R.\0Vale")
    assert "operator" in wrongs(first) and not SheetCopy.objects.exists()
    done(client, sheet)
    done(client, sheet, operator="R.\0Vale", started_clock="\0")
    double = SheetCopy.objects.get(is_double=True)
    assert double.typed["Done: operator"] == "R.\ufffdVale"
    assert Cleaning.objects.count() == 1
    page = reverse("sheet_copy_page", args=[sheet.number, double.pk])
    assert client.get(page).status_code == 200


def test_sheet_of_others_is_not_found_by_its_number(client, order, sheet):
    _, stranger = manager_of(lot_of(2, 3))
    client.force_login(stranger)
    address = reverse("sweep_copy_in", args=[sheet.number])
    assert client.get(address).status_code == 404
    assert client.post(address, {"state": "done"}).status_code == 404
    assert not SheetCopy.objects.exists()


def test_sheet_that_names_an_order_of_another_pavement_opens_none(client, order, lot):
    elsewhere = factories.WorkOrderFactory(number="W-elsewhere")
    forged = PrintedSheet.objects.create(
        number="SWP-0666", kind="sweep", system="si", paper="a4", pavement=lot,
        content={"order": elsewhere.number},
    )  # fmt: skip
    address = reverse("sweep_copy_in", args=[forged.number])
    answer = client.post(address, {"state": "done"}, follow=True)
    assert "names no work order" in str([str(m) for m in answer.context["messages"]])
    assert not Cleaning.objects.exists()
