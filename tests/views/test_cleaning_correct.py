"""The page that corrects a cleaning reaches its panels and its tests."""

from datetime import date

import pytest
from django.urls import reverse

from registry.models import CleanedPanel, JournalLine
from tests.factories import (
    CleaningFactory,
    InfiltrationTestFactory,
    MembershipFactory,
    PanelFactory,
    SeatFactory,
    SpotFactory,
)

ON = date(2023, 6, 2)


@pytest.fixture
def member(db):
    return MembershipFactory()


@pytest.fixture
def row(member):
    """Swept in A2 and A10; A1 missed. A9 has ended before, A3 since."""
    lot = SeatFactory(role="sweeper", organisation=member.organisation).pavement
    own = {"pavement": lot, "entered_for": member.organisation}
    row = CleaningFactory(done_on=ON, covers_all=False, **own)
    panels = {name: PanelFactory(pavement=lot, name=name) for name in ("A1", "A2", "A10")}
    PanelFactory(pavement=lot, name="A9", exists_to_on=date(2020, 1, 1), ended_as="removed")
    PanelFactory(pavement=lot, name="A3", exists_to_on=date(2024, 1, 1), ended_as="removed")
    for name, panel in panels.items():
        CleanedPanel.objects.create(
            cleaning=row, panel=panel, is_missed=name == "A1", why="a car" if name == "A1" else ""
        )
    return row


@pytest.fixture
def page(client, member, row):
    client.force_login(member.person)
    return Page(client, row)


class Page:
    def __init__(self, client, row):
        self.client, self.row, self.url = client, row, reverse("cleaning_correct", args=[row.pk])
        self.form = client.get(self.url).context["form"]
        values = {bound.html_name: bound.value() for bound in self.form}
        self.shown = {name: v for name, v in values.items() if v not in (None, False, "", [])}

    def send(self, **changed):
        given = {**self.shown, "why": "the sheet says so", **changed}
        return self.client.post(self.url, {k: v for k, v in given.items() if v is not None})

    def ids(self, *names):
        return [self.row.pavement.panels.get(name=name).pk for name in names]

    def told(self):
        return {
            (part.panel.name, part.is_missed, part.why)
            for part in self.row.panels.select_related("panel")
        }


def read(row, name, *, days=0, **fields):
    spot = SpotFactory(pavement=row.pavement, name=name)
    on = date.fromordinal(ON.toordinal() + days)
    return InfiltrationTestFactory(pavement=row.pavement, spot=spot, started_on=on, **fields)


def lines(row):
    return JournalLine.objects.about(row).corrections()


def test_it_shows_the_panels_of_that_day_with_what_is_stored(page):
    offered = [str(label) for _, label in page.form.fields["covered"].choices]
    assert offered == ["A1", "A2", "A3", "A10"]
    assert page.shown["covered"] == page.ids("A2", "A10")
    assert page.shown["missed"] == page.ids("A1")
    assert page.shown["missed_why"] == "a car"


def test_panels_are_put_right_and_the_page_of_the_cleaning_says_so(page):
    answer = page.send(covered=page.ids("A1", "A2"), missed=page.ids("A10"), missed_why="a truck")
    assert answer.status_code == 302, answer.context["form"].errors
    assert page.told() == {("A1", False, ""), ("A2", False, ""), ("A10", True, "a truck")}
    text = page.client.get(answer.url).content.decode()
    assert "panels missed" in text and "a truck" in text
    assert {n for line in lines(page.row) for n in line.changes} >= {
        "panels covered",
        "panels missed",
    }


def test_panel_missed_before_keeps_its_own_reason(page):
    page.send(covered=page.ids("A2"), missed=page.ids("A1", "A10"))
    assert page.told() == {("A1", True, "a car"), ("A2", False, ""), ("A10", True, "a car")}


def test_tests_are_named_and_taken_back(client, member, row):
    before = read(row, "N1", days=-2, entered_for=member.organisation)
    after = read(row, "N2", days=9, entered_for=member.organisation)
    client.force_login(member.person)
    assert (
        Page(client, row).send(before_tests=[before.pk], after_tests=[after.pk]).status_code == 302
    )
    assert row.tests_named() == ({before.pk}, {after.pk})
    again = Page(client, row)
    assert again.shown["before_tests"] == [before.pk]
    again.send(before_tests=None)
    assert row.tests_named() == (frozenset(), {after.pk})


def test_test_of_another_side_stays_named_and_is_not_shown(client, member, row):
    foreign = read(row, "secret spot", days=1)
    row.after_tests.add(foreign)
    client.force_login(member.person)
    page = Page(client, row)
    assert b"secret spot" not in client.get(page.url).content
    page.send(covered=page.ids("A2"), missed=None)
    assert row.tests_named()[1] == {foreign.pk}


def test_nothing_changed_is_said_and_stores_no_line(page):
    answer = page.send()
    assert "Nothing was changed" in str(answer.context["form"].errors)
    assert not lines(page.row).exists()


def test_column_alone_leaves_panels_and_writes_its_line(page):
    assert page.send(passes="3").status_code == 302
    assert len(page.told()) == 3
    assert set(lines(page.row).get().changes) == {"passes"}


def test_panel_ticked_twice_is_refused_beside_its_field_and_stays_ticked(page):
    answer = page.send(covered=page.ids("A1", "A2"))
    form = answer.context["form"]
    assert "Both covered and missed: A1" in str(form.errors["missed"])
    assert form["covered"].value() == [str(pk) for pk in page.ids("A1", "A2")]


def test_second_writer_is_told_and_loses_nothing_typed(client, member, row):
    client.force_login(member.person)
    first, second = Page(client, row), Page(client, row)
    first.send(covered=first.ids("A2"))
    answer = second.send(covered=second.ids("A10"))
    assert "Somebody else changed its panels" in str(answer.context["form"].errors)
    assert answer.context["form"]["covered"].value() == [str(pk) for pk in second.ids("A10")]
    assert ("A10", False, "") not in first.told()


def test_old_page_that_never_showed_panels_takes_none_away(page):
    assert page.send(named_seen=None, covered=None, missed=None, passes="2").status_code == 302
    assert len(page.told()) == 3


@pytest.mark.parametrize("text", ["", "forged", "{}"])
def test_panels_without_what_was_shown_are_refused(page, text):
    answer = page.send(named_seen=text, covered=page.ids("A2"))
    assert "too old" in str(answer.context["form"].errors)
    assert len(page.told()) == 3
