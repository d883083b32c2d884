"""A defect put right by a line; its place takes outline and panel along.

Who may is held by the table of access (`defect_correct`).
"""

from datetime import date

import pytest

from registry.actions.correct_defect import correct_defect
from registry.actions.correct_entry import CannotBeCorrected, CorrectionsDiffer
from registry.actions.void_entry import void_entry
from registry.models import JournalLine
from registry.models.entry import Change
from registry.plan.faults import PlaceError
from registry.units import System
from tests.actions.plans import NOBODY, drawn_lot
from tests.placing_factories import CallbackAttachmentFactory, CallbackFactory
from tests.visit_rows import LAST_YEAR, defect_at

pytestmark = pytest.mark.django_db


@pytest.fixture
def row():
    place = "A1 · 1.00 R · 2.00 U"
    return defect_at(drawn_lot(), place, as_written={"place": place})


def correct(row, why="read again", **values):
    changes = {
        name: Change(value, str(value), seen=getattr(row, name), is_seen_known=True)
        for name, value in values.items()
    }
    return correct_defect(row, changes=changes, system=System.SI, why=why, **NOBODY)


def test_corrected_place_moves_outline_and_panel_by_one_line(row):
    before = row.outline
    correct(row, place="B2 · 1.00 R · 2.00 U")
    row.refresh_from_db()
    assert row.panel.name == "B2" and row.panels_text == "B2"
    assert row.outline != before and row.outline_kind == "spot"
    [line] = JournalLine.objects.about(row).corrections()
    assert line.why == "read again"
    assert line.changes["place"] == ["A1 · 1.00 R · 2.00 U", "B2 · 1.00 R · 2.00 U"]
    assert {"outline", "panel"} <= set(line.changes)
    assert row.as_written["place"] == "A1 · 1.00 R · 2.00 U", "the first text stays for ever"


@pytest.mark.parametrize(
    ("values", "fault", "words"),
    [
        ({"place": "Z9 · 1.00 R · 2.00 U"}, PlaceError, "Z9"),
        ({"first_seen_on": date(2024, 1, 1)}, CannotBeCorrected, "a look at it from before"),
        ({"kind": "raveling"}, CannotBeCorrected, "Nothing was changed"),
        ({"kind": "crack", "why": " "}, CannotBeCorrected, "Say why"),
    ],
    ids=["no such panel", "look before it", "nothing", "no reason"],
)
def test_what_cannot_be_is_refused_and_nothing_changes(row, values, fault, words):
    with pytest.raises(fault, match=words):
        correct(row, **values)
    row.refresh_from_db()
    assert (row.place, row.first_seen_on) == ("A1 · 1.00 R · 2.00 U", LAST_YEAR)
    assert not JournalLine.objects.about(row).corrections().exists()


def test_second_writer_who_had_not_seen_the_first_is_told(row):
    stale = type(row).objects.get(pk=row.pk)
    correct(row, other_number="7")
    with pytest.raises(CorrectionsDiffer, match="is now 7"):
        correct(stale, other_number="8")


def test_void_and_frozen_defects_are_not_corrected(row):
    callback = CallbackFactory(state="disputed", pavement=row.pavement)
    CallbackAttachmentFactory(callback=callback, winter_entry=None, defect=row)
    with pytest.raises(CannotBeCorrected, match="in dispute: the record is frozen"):
        correct(row, place="B2 · 1.00 R · 2.00 U")
    type(callback).objects.update(state="settled")
    void_entry(row, why="another lot", **NOBODY)
    with pytest.raises(CannotBeCorrected, match="void entry is not corrected"):
        correct(row, place="B2 · 1.00 R · 2.00 U")
