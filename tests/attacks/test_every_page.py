"""Attacks that every page must stand, walked over the whole table of addresses.

A row of another parent, a form that another site sends, a look that writes.
"""

from collections.abc import Iterator
from io import BytesIO
from zipfile import ZipFile

import pytest
from django.db import connection, transaction
from django.http import HttpResponse, HttpResponseBase, StreamingHttpResponse
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from registry.models import CallbackNote, Organisation, Pavement, PrintedSheet
from registry.models.choices import Role
from tests import factories, placing_factories
from tests.views.cast import CAST, NO_COST, STRANGER, World, world
from tests.views.test_access_table import AT_MANY_ROWS, ROWS

__all__ = ["world"]  # a fixture is found by its name here

INSIDE = "between ourselves: the second load waited"
WRITING = ("INSERT", "UPDATE", "DELETE", "REPLACE")
WRITTEN_BY_A_LOOK = ("django_session", "registry_calendarfeed", "axes_")
"""Who is signed in, how often a feed was fetched, who tried to sign in."""
NESTED = {
    "pavement_number_take_back": "manager's number",
    "panel_page": "panel",
    "panel_correct": "panel",
    "panel_replace": "panel",
    "panel_cut": "panel",
    "panel_end": "panel",
    "spot_draw_page": "draw",
    "spot_correct": "fixed point",
    "spot_end": "fixed point",
    "spot_skip": "drawn spot",
    "visit_answer": "known defect of the walk",
    "round_order": "order of a round",
    "round_lock": "day of a round",
    "load_correct": "load and its day",
    "load_move": "load and its day",
    "lot_move": "lot",
    "hand_over_page": "certificate",
    "hand_over_move": "certificate",
    "hand_over_paper": "certificate",
    "repair_page": "contractor's repair",
    "repair_move": "contractor's repair",
    "agreed_date_confirm": "date the contractor said",
    "sheet_hold_double": "manager's double",
    "sheet_copy_page": "manager's double",
}
"""Pages of a row and what it belongs to, by what they are about; the others stand below."""
ENTRIES = (
    "source of dirt",
    "holiday list",
    "part of the warranty",
    "contractor's note",
    "contractor's note kept inside",
    "contractor's answer",
    "line of the winter log",
    "pour plan to void",
    "load to void",
    "contractor's placing day",
)
"""What the pages for entries that are alike are about."""
ENTRY_PAGES = ("entry_correct", "entry_end", "entry_void")
NOT_NESTED = ("crew_day_sheet", "password_reset_from_key")
"""Pages of a day and a crew, of a person and a key."""


def patterns(resolver: URLResolver, namespace: str = "") -> Iterator[tuple[str, URLPattern]]:
    for pattern in resolver.url_patterns:
        if isinstance(pattern, URLResolver):
            inner = f"{namespace}{pattern.namespace}:" if pattern.namespace else namespace
            yield from patterns(pattern, inner)
        else:
            yield f"{namespace}{pattern.name}", pattern


PATTERNS = dict(patterns(get_resolver()))


def written(asked: CaptureQueriesContext) -> list[str]:
    found = [query["sql"] for query in asked if query["sql"].lstrip().startswith(WRITING)]
    return [sql for sql in found if not any(name in sql for name in WRITTEN_BY_A_LOOK)]


def ask(
    client: Client, method: str, address: str, **given: object
) -> tuple[HttpResponseBase, list[str]]:
    """The answer, whole, and what it wrote, undone."""
    with transaction.atomic(), CaptureQueriesContext(connection) as asked:
        answer = client.generic(method, address, **given)  # type: ignore[arg-type]
        if isinstance(answer, StreamingHttpResponse):
            whole = b"".join(answer)
            answer = HttpResponse(whole, status=answer.status_code, headers=answer.headers)
        transaction.set_rollback(True)
    return answer, written(asked)


def said(answer: HttpResponseBase) -> str:
    """What an answer says, files in an archive or workbook too."""
    body = answer.content
    if body.startswith(b"PK"):
        with ZipFile(BytesIO(body)) as archive:
            body = b"".join(archive.read(name) for name in archive.namelist())
    return body.decode("utf-8", "replace")


def first_subjects() -> dict[str, str]:
    return {row["url_name"]: row["about"] for row in reversed(ROWS)}


@pytest.mark.parametrize("who", ["manager", STRANGER])
def test_no_page_takes_a_form_that_another_site_sends(world: World, who: str):
    client, person = Client(enforce_csrf_checks=True), world.people[who]
    if person is not None:
        client.force_login(person)
    taken = {}
    for name, about in first_subjects().items():
        address = reverse(name, args=world.subjects[about])
        answer, wrote = ask(
            client, "POST", address, data="a=b", content_type="application/x-www-form-urlencoded"
        )
        if answer.status_code != 403 or wrote:
            taken[name] = (answer.status_code, wrote)
    assert taken == {}


def test_no_view_is_let_off_from_asking_where_a_form_came_from():
    assert [name for name, p in PATTERNS.items() if getattr(p.callback, "csrf_exempt", False)] == []


@pytest.mark.parametrize("who", AT_MANY_ROWS)
def test_a_look_writes_nothing_and_tells_no_note_kept_inside(world: World, who: str):
    client, person = Client(), world.people[who]
    if person is not None:
        client.force_login(person)
    note = CallbackNote.objects.get(pk=world.subjects["contractor's note kept inside"][-1])
    CallbackNote.objects.filter(pk=note.pk).update(text=INSIDE)
    found, told = {}, set()
    for row in ROWS:
        if row["url_name"] == "account_logout":
            continue
        address = reverse(row["url_name"], args=world.subjects[row["about"]])
        answer, wrote = ask(client, "GET", address)
        if wrote:
            found[row["url_name"], row["about"]] = wrote
        if INSIDE in said(answer):
            told.add(row["url_name"])
    assert found == {}
    own = note.inside_of.memberships.filter(person=person).exists()
    assert ("callback_page" in told) == own, "its own firm reads it on the claim's page"
    assert own or told == set()


def test_every_page_of_a_row_and_what_it_belongs_to_is_attacked():
    two = {
        name
        for name, pattern in PATTERNS.items()
        if len(pattern.pattern.converters) > 1
        and any(part in pattern.pattern.converters for part in ("row", "order", "day", "number"))
    }
    assert two - set(NOT_NESTED) == {*NESTED, *ENTRY_PAGES}


def elsewhere(world: World) -> dict[str, tuple[object, ...]]:
    """A second parent of each kind, held by the same organisations in the same seats."""
    pavement = factories.PavementFactory()
    seats = {"owner": Role.OWNER, "manager": Role.MANAGER, "sweeper": Role.SWEEPER}
    seats |= {"contractor in warranty": Role.CONTRACTOR, "municipality": Role.MUNICIPALITY}
    by = {name: Organisation.objects.get(name=name) for name in seats}
    for name, role in seats.items():
        factories.SeatFactory(pavement=pavement, organisation=by[name], role=role)
    placer, manager = by["contractor in warranty"], by["manager"]
    day = placing_factories.PlacingDayFactory(pavement=pavement, entered_for=placer)
    given = {"pavement": pavement, "entered_for": placer, "contractor": placer}
    terms = placing_factories.WarrantyFactory(**given)
    opened = placing_factories.CallbackFactory(**given, warranty=terms)
    walk = factories.VisitFactory(pavement=pavement, entered_for=manager)
    planned = factories.RoundFactory(organisation=by["sweeper"], state="done", objective=NO_COST)
    sheet = PrintedSheet.objects.create(
        number="INS-0990", kind="inspection", pavement=pavement, system="si", paper="a4"
    )
    return {
        "pavements": (pavement.pk,),
        "placing-days": (day.pk,),
        "rounds": (planned.pk,),
        "visits": (walk.pk,),
        "sheets": (sheet.number,),
        "dirt_source": (pavement.pk,),
        "holiday_list": (placer.pk,),
        "warranty_part": (terms.pk,),
        "callbacks": (opened.pk,),
        "callback_note": (opened.pk,),
        "callback_answer": (opened.pk,),
        "winter_entry": (pavement.pk,),
        "pour_plan": (pavement.pk,),
        "load": (day.pk,),
        "placing_day": (pavement.pk,),
    }


def swapped(world: World) -> Iterator[tuple[str, str, str]]:
    """Each page of a row: its name, its address, and the same row under another such parent."""
    other = elsewhere(world)
    for name, about in NESTED.items():
        kind = str(PATTERNS[name].pattern).split("/", maxsplit=1)[0]
        parent, row = world.subjects[about]
        yield name, reverse(name, args=(parent, row)), reverse(name, args=(*other[kind], row))
    for name in ENTRY_PAGES:
        for about in ENTRIES:
            noun, parent, row = world.subjects[about]
            right = reverse(name, args=(noun, parent, row))
            yield f"{name} {noun}", right, reverse(name, args=(noun, *other[str(noun)], row))


@pytest.mark.parametrize("who", [name for name in CAST if name != STRANGER])
def test_a_row_under_another_parent_is_not_found(world: World, who: str):
    client = Client()
    client.force_login(world.people[who])
    found = {}
    for name, right, wrong in swapped(world):
        for method in ("GET", "POST"):
            status = ask(client, method, right)[0].status_code
            answer, wrote = ask(client, method, wrong)
            # Who is refused at its own place may be refused in the same words here.
            if answer.status_code not in {404, *({403, 405} & {status})} or wrote:
                found[name, method] = (status, answer.status_code, wrote)
    assert found == {}


def test_the_parents_of_the_attack_are_open_to_their_own_side(world: World):
    """Else the rows above would be refused for their parents, and prove nothing."""
    other = elsewhere(world)
    client = Client()
    client.force_login(world.people["manager"])
    assert client.get(reverse("pavement_page", args=other["pavements"])).status_code == 200
    assert client.get(reverse("visit_page", args=other["visits"])).status_code == 200
    client.force_login(world.people["contractor in warranty"])
    assert client.get(reverse("placing_day_page", args=other["placing-days"])).status_code == 200
    assert client.get(reverse("callback_page", args=other["callback_note"])).status_code == 200
    assert client.get(reverse("warranty_page", args=other["warranty_part"])).status_code == 200
    client.force_login(world.people["sweeper"])
    assert client.get(reverse("round_page", args=other["rounds"])).status_code == 200
    assert Pavement.objects.filter(pk=other["pavements"][0]).exists()
