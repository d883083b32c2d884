"""Sources of dirt that a visit names: on the record once, pointed to by a line of the visit.

Who may is held by the table of access (`visit_walk`).
"""

import pytest

from registry.actions.add_entry import add_entry
from registry.actions.answer_defect import CannotAnswer
from registry.actions.name_dirt import CannotNameDirt, name_dirt
from registry.actions.void_visit import void_visit
from registry.models import DirtSource, JournalLine
from tests.actions.plans import NOBODY
from tests.factories import PavementFactory
from tests.placing_factories import CallbackAttachmentFactory, CallbackFactory
from tests.visit_rows import DAY, visit_at

pytestmark = pytest.mark.django_db


@pytest.fixture
def visit():
    return visit_at(PavementFactory())


def bed(pavement=None, detail="above D7"):
    return DirtSource(pavement=pavement, kind="bed", detail=detail)


def lines(row):
    return list(JournalLine.objects.about(row).filter(verb="dirt named").order_by("pk"))


def test_new_source_goes_on_the_record_of_that_day_and_the_visit_says_so_by_a_line(visit):
    name_dirt(visit, known=(), new=[bed()], **NOBODY)
    source = visit.dirt_sources.get()
    assert (source.pavement, source.seen_on) == (visit.pavement, DAY)
    [line] = lines(visit)
    assert line.changes == {"dirt_sources": ["", f"{source} above D7"]}
    assert JournalLine.objects.about(source).count() == 1


def test_source_that_is_on_record_is_pointed_to_and_not_added_again(visit):
    old = add_entry(bed(visit.pavement), **NOBODY)
    name_dirt(visit, known=(), new=[bed()], **NOBODY)
    name_dirt(visit, known=[old], new=(), **NOBODY)
    assert list(visit.dirt_sources.all()) == list(DirtSource.objects.all()) == [old]
    assert len(lines(visit)) == 1, "what changes nothing writes no line"


def test_tick_taken_away_is_a_line_and_leaves_the_source_on_record(visit):
    old = add_entry(bed(visit.pavement), **NOBODY)
    name_dirt(visit, known=[old], new=(), **NOBODY)
    name_dirt(visit, known=(), new=(), dropped=[old], **NOBODY)
    assert not visit.dirt_sources.exists() and DirtSource.objects.open().get() == old
    assert lines(visit)[-1].changes["dirt_sources"] == [f"{old} above D7", ""]


def test_source_of_another_pavement_is_refused_and_nothing_is_stored(visit):
    other = add_entry(bed(PavementFactory()), **NOBODY)
    with pytest.raises(CannotNameDirt, match="not a source of dirt of this pavement"):
        name_dirt(visit, known=[other], new=[bed(detail="by the gate")], **NOBODY)
    assert DirtSource.objects.count() == 1 and not lines(visit)


@pytest.mark.parametrize("over", ["void", "closed"])
def test_visit_that_is_over_names_no_more(visit, over):
    if over == "void":
        void_visit(visit, why="another lot", **NOBODY)
    else:
        type(visit).objects.update(state="done")
    with pytest.raises(CannotAnswer, match="put right by a correction"):
        name_dirt(visit, known=(), new=[bed()], **NOBODY)
    assert not DirtSource.objects.exists()


def test_dispute_takes_what_is_new(visit):
    """A frozen record takes new lines; only corrections and voids are refused."""
    callback = CallbackFactory(state="disputed", pavement=visit.pavement)
    CallbackAttachmentFactory(callback=callback, winter_entry=None, visit=visit)
    name_dirt(visit, known=(), new=[bed()], **NOBODY)
    assert len(lines(visit)) == 1
