"""What came back after a repair stands on its page, and on the pages of both defects."""

from datetime import date

import pytest
from django.urls import reverse

from registry.gathering.dossier_book import book_of, whole_record
from registry.models import DefectLink
from registry.sheets.dossier_annexes import Table
from registry.sheets.dossier_papers import letter_blocks
from tests.factories import DefectFactory, MembershipFactory, PanelFactory, PlanFactory, SeatFactory
from tests.placing_factories import (
    CallbackAttachmentFactory,
    CallbackFactory,
    RepairFactory,
    WarrantyPartFactory,
)

pytestmark = pytest.mark.django_db
SAID = "came back within the repair’s warranty (CB-5/1, replaced panels, 2025-06-06 to 2026-06-05"


@pytest.fixture
def lot(client):
    member = MembershipFactory()
    plan = PlanFactory()
    SeatFactory(pavement=plan.pavement, organisation=member.organisation, role="manager")
    client.force_login(member.person)
    return plan.pavement


def came_back(lot, found_on=date(2026, 5, 19), **given):
    """Return the new defect, the old one and the repair in between."""
    panel = PanelFactory(pavement=lot, plan=lot.plans.get(), name="C8")
    old = DefectFactory(pavement=lot, panel=panel, first_seen_on=date(2024, 4, 2), number=1)
    new = DefectFactory(pavement=lot, panel=panel, first_seen_on=found_on, number=2)
    DefectLink.objects.create(defect=new, other=old, relation="recurs", on=found_on)
    repair = RepairFactory(
        pavement=lot, number="CB-5/1", state="accepted", in_on=date(2025, 5, 14), **given
    )
    return new, old, repair


def cover(lot, **given):
    given = {"panels": ["C8"], "start_on": date(2025, 6, 6), **given}
    return WarrantyPartFactory(warranty__pavement=lot, **given)


def pages(client, lot, new, old, repair):
    addresses = [
        reverse("defect_page", args=[new.pk]),
        reverse("defect_page", args=[old.pk]),
        reverse("repair_page", args=[lot.pk, repair.pk]),
    ]
    return [client.get(address).content.decode() for address in addresses]


@pytest.mark.parametrize("by", ["defects", "panels"])
def test_case_43_pages_say_that_it_came_back_within_the_repairs_warranty(client, lot, by):
    given = {"panels": ["C8"]} if by == "panels" else {}
    new, old, repair = came_back(lot, warranty_part=cover(lot), **given)
    if by == "defects":
        repair.defects.add(old)
    for page in pages(client, lot, new, old, repair):
        assert SAID in page
        assert "a repair failure by its terms" in page
        assert "never says who is liable" in page


def test_case_43_after_the_last_day_it_is_no_failure_of_the_repair(client, lot):
    found_on = date(2026, 6, 6)
    new, old, repair = came_back(lot, found_on, warranty_part=cover(lot), panels=["C8"])
    for page in pages(client, lot, new, old, repair):
        assert "came back after the repair’s warranty" in page
        assert "last day 2026-06-05" in page
        assert "repair failure" not in page


@pytest.mark.parametrize("known", ["none", "void", "no start"])
def test_case_43_a_warranty_of_the_repair_that_is_not_known_is_said_so(client, lot, known):
    void = {"void_at": lot.entered_at, "void_why": "wrong pavement"}
    part = {
        "none": lambda: None,
        "void": lambda: cover(lot, **void),
        "no start": lambda: cover(lot, start_on=None),
    }[known]()
    new, old, repair = came_back(lot, warranty_part=part, panels=["C8"])
    for page in pages(client, lot, new, old, repair):
        assert "warranty of the repair not known" in page
        assert "repair failure" not in page


def test_case_43_what_was_renewed_after_it_came_back_is_no_repair_before_it(client, lot):
    found_on = date(2025, 5, 1)
    new, old, repair = came_back(lot, found_on, warranty_part=cover(lot), panels=["C8"])
    first, second, third = pages(client, lot, new, old, repair)
    for page in (first, second):
        assert "no repair of it that was done before is seen here" in page
    assert "Came back after it" not in third


def test_case_43_a_void_defect_came_back_nowhere(client, lot):
    new, old, repair = came_back(lot, warranty_part=cover(lot), panels=["C8"])
    type(new).objects.filter(pk=new.pk).update(void_at=lot.entered_at, void_why="a shadow")
    assert not [page for page in pages(client, lot, new, old, repair) if "came back" in page]


@pytest.mark.parametrize("by", ["its repair", "what is attached"])
def test_case_43_callback_page_and_dossier_say_it_where_it_is_theirs(client, lot, by):
    claim, other = CallbackFactory.create_batch(2, pavement=lot)
    of = claim if by == "its repair" else other
    new, _, _ = came_back(lot, warranty_part=cover(lot), panels=["C8"], callback=of)
    if by == "what is attached":
        CallbackAttachmentFactory(callback=claim, winter_entry=None, defect=new)
    page = client.get(reverse("callback_page", args=[claim.pk])).content.decode()
    assert SAID in page
    book = book_of(claim, whole_record(claim), {}, system="si", prepared="")
    name = "defect 2 at the place of defect 1, after repair CB-5/1"
    assert SAID in book.of("came_back")[name]["compared"].shown
    printed = [block for block in letter_blocks(book) if isinstance(block, Table)]
    (table,) = [one for one in printed if one.title == "Came back after a repair"]
    assert SAID in table.rows[0][1]
    stranger = CallbackFactory(pavement=lot)
    page = client.get(reverse("callback_page", args=[stranger.pk])).content.decode()
    assert "came back" not in page.lower()
    assert not book_of(stranger, whole_record(stranger), {}, system="si", prepared="").of(
        "came_back"
    )


def test_case_43_list_of_defects_and_its_file_say_it_in_the_row(client, lot):
    new, old, _ = came_back(lot, warranty_part=cover(lot), panels=["C8"])
    page = client.get(reverse("defect_list")).content.decode()
    rows = {n: page.split(f'href="{reverse("defect_page", args=[n.pk])}"')[1] for n in (new, old)}
    short = "<strong>came back within the repair’s warranty</strong>"
    assert short in rows[new].split("</tr>")[0]
    assert short not in rows[old].split("</tr>")[0]
    file = b"".join(client.get(reverse("defect_export", args=["csv"])).streaming_content).decode()
    (line,) = [line for line in file.splitlines() if SAID in line]
    assert f',{new.number},"{new.get_kind_display()}",' in line


@pytest.mark.parametrize("split", ["both", "the old one", "nothing"])
def test_case_43_a_repair_before_the_split_of_its_pavement_is_looked_at(client, lot, split):
    """What is open goes on at a part, and what its repair was stays with the whole."""
    new, old, repair = came_back(lot, warranty_part=cover(lot))
    repair.defects.add(old)
    if split != "nothing":
        part = PlanFactory(pavement__parent=lot).pavement
        seat = {"organisation": lot.seats.get().organisation, "role": "manager"}
        SeatFactory(pavement=part, **seat)
        at = {"pavement": part, "carried_on": date(2026, 1, 1)}
        first_seen_on = old.first_seen_on
        old = DefectFactory(carried_from=old, number=1, first_seen_on=first_seen_on, **at)
        if split == "both":
            new = DefectFactory(carried_from=new, number=2, first_seen_on=new.first_seen_on, **at)
        else:
            new = DefectFactory(pavement=part, number=2, first_seen_on=new.first_seen_on)
            DefectLink.objects.create(
                defect=new, other=old, relation="recurs", on=new.first_seen_on
            )
    page = client.get(reverse("defect_page", args=[new.pk])).content.decode()
    assert "came back within the repair’s warranty (CB-5/1" in page
    listed = client.get(reverse("defect_list")).content.decode()
    row = listed.split(f'href="{reverse("defect_page", args=[new.pk])}"')[1].split("</tr>")[0]
    assert "came back within the repair’s warranty" in row


def test_case_43_a_panel_cut_in_two_keeps_the_repair_and_the_cover_of_the_whole(client, lot):
    new, old, repair = came_back(lot, warranty_part=cover(lot), panels=["C8"])
    half = PanelFactory(pavement=lot, plan=lot.plans.get(), name="C8a", cut_from=old.panel)
    for row in (new, old):
        type(row).objects.filter(pk=row.pk).update(panel=half)
    for page in pages(client, lot, new, old, repair):
        assert SAID in page


def test_pages_of_what_came_back_take_few_queries(client, lot, django_assert_max_num_queries):
    claim = CallbackFactory(pavement=lot)
    new, _, repair = came_back(lot, warranty_part=cover(lot), panels=["C8"], callback=claim)
    addresses = (
        reverse("defect_page", args=[new.pk]),
        reverse("repair_page", args=[lot.pk, repair.pk]),
        reverse("callback_page", args=[claim.pk]),
        reverse("defect_list"),
    )
    for address in addresses:
        client.get(address)
        with django_assert_max_num_queries(12):
            client.get(address)
