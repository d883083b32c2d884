"""The cast of the access table: one person for each seat at one pavement that was sold.

`subjects` names what a page is about, with the arguments of its address; a new page adds here
what it needs and a row in access_table.csv.
"""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.contrib.auth.hashers import make_password
from django.utils import timezone

from registry.models import (
    DirtSource,
    Fit,
    ImportBatch,
    Membership,
    Organisation,
    Outlook,
    Pavement,
    PavementNumber,
    Person,
    Photo,
    PhotoExtent,
    Pool,
    PoolPlace,
    PrintedSheet,
    Seat,
    SheetCopy,
    SpotDraw,
)
from registry.models.choices import Role
from tests.factories import (
    SECRET,
    CalendarFeedFactory,
    CleaningFactory,
    CrewFactory,
    DefectFactory,
    DueFactory,
    InfiltrationTestFactory,
    InvitationFactory,
    MachineFactory,
    MembershipFactory,
    ObservationFactory,
    OrganisationFactory,
    PanelFactory,
    PavementFactory,
    PlanFactory,
    RoundFactory,
    RoundStopFactory,
    SeatFactory,
    SpotFactory,
    VisitFactory,
    WaitingCorrectionFactory,
    WorkOrderFactory,
)
from tests.views.claim_cast import claimed
from tests.views.stored_photos import stored_photo

ZONE = ZoneInfo("America/New_York")
STRANGER = "stranger"
"""Nobody: signed out."""
OUTSIDER = "outsider"
"""Signed in, belongs to an organisation without a seat."""
SEATS = {
    "owner": Role.OWNER,
    "manager": Role.MANAGER,
    "contractor in warranty": Role.CONTRACTOR,
    "contractor after warranty": Role.CONTRACTOR,
    "tester": Role.TESTER,
    "sweeper": Role.SWEEPER,
    "municipality": Role.MUNICIPALITY,
    "buyer": Role.BUYER,
    "evaluator": Role.EVALUATOR,
    "former owner": Role.OWNER,
}
CAST = (STRANGER, OUTSIDER, *SEATS)
SOME_PASSWORD = make_password("rain on the stone")
"""Hashed once: a person without any would be asked to set one."""
WARRANTY_DAYS = {"contractor in warranty": 30, "contractor after warranty": -2}


@dataclass(frozen=True)
class World:
    """People by their part (None: signed out), and what pages are about, as arguments."""

    people: dict[str, Person | None]
    subjects: dict[str, tuple[object, ...]]


@pytest.fixture
def world(db: None) -> World:
    pavement = PavementFactory()
    members = {name: MembershipFactory(organisation__name=name) for name in (OUTSIDER, *SEATS)}
    members["manager"].may_invite = True
    for member in members.values():
        member.person.password = SOME_PASSWORD
        member.person.save(update_fields=["password"])
        member.save(update_fields=["may_invite"])
    organisations = {name: member.organisation for name, member in members.items()}
    seats = {name: _seat(pavement, name, organisations[name]).pk for name in SEATS}
    subjects = {
        **_records(pavement, organisations),
        **_photographed(pavement, organisations),
        **_of_people(members),
        **_on_record(pavement, organisations["manager"]),
        **_foretold(pavement, organisations["municipality"]),
        "": (),
        "pavement": (pavement.pk,),
        "another pavement": (SeatFactory().pavement_id,),
        "tester's seat": (seats["tester"],),
        **_visited(pavement, members["manager"]),
        **_ordered(pavement, organisations),
        **claimed(pavement, organisations, _now()),
        "tester's sheet": (_sheet(pavement, members["tester"].person).number,),
        "manager's spreadsheet": (_spreadsheet_of(organisations["manager"]).pk,),
        "a form of file": ("geojson",),
    }
    subjects["a run of the tester's sheet"] = (
        *subjects["tester's sheet"],
        *subjects["tester's test"],
    )
    people: dict[str, Person | None] = {name: member.person for name, member in members.items()}
    return World({STRANGER: None, **people}, subjects)


def _seat(pavement: Pavement, name: str, organisation: Organisation) -> Seat:
    sold, days = _now() - timedelta(days=30), WARRANTY_DAYS.get(name)
    return SeatFactory(
        pavement=pavement,
        organisation=organisation,
        role=SEATS[name],
        warranty_last_on=None if days is None else _now().date() + timedelta(days=days),
        **{"owner": {"from_at": sold}, "former owner": {"to_at": sold}}.get(name, {}),
    )


def _records(pavement: Pavement, by: dict[str, Organisation]) -> dict[str, tuple[object, ...]]:
    """Tests and cleanings before and after the sale, by the name of who wrote them."""
    today = _now().date()

    def tested(days: int, name: str, **fields: object) -> tuple[object, ...]:
        on, writer = today - timedelta(days=days), by[name]
        row = InfiltrationTestFactory(
            pavement=pavement, started_on=on, entered_for=writer, use="looked_at", **fields
        )
        return (row.pk,)

    def cleaned(days: int, name: str) -> tuple[object, ...]:
        on, writer = today - timedelta(days=days), by[name]
        return (CleaningFactory(pavement=pavement, done_on=on, entered_for=writer).pk,)

    waiting = WaitingCorrectionFactory(pavement=pavement, by_organisation=by["manager"])
    return {
        "manager's second correction": (waiting.pk,),
        "acceptance test": tested(900, "contractor in warranty", reason="acceptance"),
        "test before the sale": tested(300, "former owner"),
        "manager's test": tested(7, "manager"),
        "submitted test": tested(7, "manager", submitted_on=today),
        "tester's test": tested(7, "tester"),
        "cleaning before the sale": cleaned(300, "former owner"),
        "sweeper's cleaning": cleaned(7, "sweeper"),
    }


def _photographed(pavement: Pavement, by: dict[str, Organisation]) -> dict[str, tuple[object, ...]]:
    """Photos of several sides, and one from the former owner's time."""
    today, manager = _now().date(), by["manager"]
    defect = DefectFactory(
        pavement=pavement, number=91, first_seen_on=today, entered_for=manager, kind="crack"
    )
    before = stored_photo(pavement, by["former owner"])
    Photo.objects.filter(pk=before.pk).update(entered_at=_now() - timedelta(days=60))
    of_defect = stored_photo(pavement, manager, defect=defect, subject="defect", pair_of=before)
    sent = stored_photo(pavement, manager, submitted_on=today)
    look = ObservationFactory(defect=defect, seen_on=today, entered_for=manager)
    return {
        "manager's defect": (defect.pk,),
        "look at the manager's defect": (look.pk,),
        "manager's photo": (stored_photo(pavement, manager).pk,),
        "photo of a defect": (of_defect.pk,),
        "photo for the manager's side": (stored_photo(pavement, manager, shown_to="own").pk,),
        "submitted photo": (sent.pk,),
        "photo before the sale": (before.pk,),
        "list size of the submitted photo": (sent.pk, "list"),
        "page size of the photo of a defect": (of_defect.pk, "page"),
        "copy of the photo of a defect": (of_defect.pk, "copy"),
        "extent on the photo of a defect": (_extent_on(of_defect).pk,),
        "size that is none": (of_defect.pk, "huge"),
    }


def _extent_on(photo: Photo) -> PhotoExtent:
    return PhotoExtent.objects.create(
        photo=photo,
        rectangle="a frame of 1 m",
        rectangle_width_m=1.0,
        rectangle_height_m=1.0,
        corners=[[5, 45], [60, 45], [60, 5], [5, 5]],
        outline=[[20, 30], [40, 30], [40, 10]],
        value=0.1,
        error=0.01,
    )


def _of_people(members: dict[str, Membership]) -> dict[str, tuple[object, ...]]:
    manager = members["manager"]
    InvitationFactory(token="open")
    return {
        "manager's organisation": (manager.organisation_id,),
        "another organisation": (OrganisationFactory().pk,),
        "manager's membership": (manager.pk,),
        "manager's invitation": (InvitationFactory(organisation=manager.organisation).pk,),
        "link of an invitation": ("open",),
        "guessed link": ("guessed",),
        "link of a new password": ("1", "guessed"),
    }


def _on_record(pavement: Pavement, manager: Organisation) -> dict[str, tuple[object, ...]]:
    """What the record holds of the pavement: a plan, a panel, spots, a well, a number, a site."""
    plan = PlanFactory(pavement=pavement, number=1)
    panel = PanelFactory(pavement=pavement, plan=plan, name="A1")
    draw = SpotDraw.objects.create(
        pavement=pavement,
        number=1,
        drawn_on=_now().date(),
        seed=7,
        required_count=3,
        counted_in="si",
        result={"spots": [], "skipped": [], "in_the_way": {}},
    )
    fixed = SpotFactory(pavement=pavement, panel=panel, name="U")
    drawn = SpotFactory(pavement=pavement, name="draw 1 S1", is_fixed=False, draw=draw)
    source = DirtSource.objects.create(pavement=pavement, kind="tree")
    number = PavementNumber.objects.create(pavement=pavement, organisation=manager, number="7")
    pk = pavement.pk
    return {
        "site": (pavement.site_id,),
        "kind and pavement": ("well", pk),
        "criteria of the pavement": ("criteria", pk),
        "kind and site": ("parcel", pavement.site_id),
        "kind and organisation": ("ring", manager.pk),
        "source of dirt": ("dirt_source", pk, source.pk),
        "manager's number": (pk, number.pk),
        "panel": (pk, panel.pk),
        "fixed point": (pk, fixed.pk),
        "drawn spot": (pk, drawn.pk),
        "draw": (pk, draw.pk),
        "way of drawing": (pk, "panels"),
    }


def _foretold(pavement: Pavement, town: Organisation) -> dict[str, tuple[object, ...]]:
    """A pool that the municipality runs and the pavement joined, its fit, and the outlook."""
    pool = Pool.objects.create(organisation=town, name="of the town", is_own=False)
    PoolPlace.objects.create(
        pavement=pavement, pool=pool, by_document="permit 7", from_on=date(2020, 1, 1)
    )
    fit = Fit.objects.create(
        pool=pool,
        as_of_on=_now().date(),
        input_digest="0",
        code_version="1",
        converged=False,
        message="nothing to fit",
    )
    Outlook.objects.create(
        pavement=pavement,
        fit=fit,
        as_of_on=_now().date(),
        worked_out_at=_now(),
        why_not="Not decided.",
    )
    _due(pavement)
    return {
        "fit of the town's pool": (fit.pk,),
        "town's pool": (pool.pk,),
        "town's organisation": (town.pk,),
        "price and organisation": ("price", town.pk),
    }


def _due(pavement: Pavement) -> None:
    """A line that says all that one can say: late, in conflict, no longer enough, not decided."""
    rules = [
        {"rule": n, "holds": holds, "words": "U 120 mm/h.", "missing": ""}
        for n, holds in enumerate((True, False, None), start=1)
    ]
    permit = {
        "words": "1 of 2 by permit 7", "asked": 2, "done": 1, "is_late": True,
        "first_on": "2026-01-01", "last_on": "2026-12-31", "next_by": "2026-12-31",
        "missing_rows": [["A1", 0]], "not_counted": [["2026-04-01", "turned away: no cleaning"]],
    }  # fmt: skip
    DueFactory(
        pavement=pavement, method="wash_and_vacuum", no_method="", method_why="pores shut",
        beside=["moss_brushed"], cautions=["Flat angle."], rows_text="A", area_m2=100.0,
        earliest_on=date(2999, 6, 1), earliest_why="summer", possible_on=date(2026, 5, 1),
        latest_on=date(2026, 4, 1), latest_by="permit", latest_why="1 of 2 by permit 7",
        reason="1 of 2 by permit 7; pores shut", conflict="Not sensible before 2999-06-01.",
        permits=[permit], is_permit_short=True, no_longer_enough=True,
        enough={"si": rules, "inch_pound": rules}, not_decided=["Not decided: nothing is known."],
    )  # fmt: skip


def _visited(pavement: Pavement, member: Membership) -> dict[str, tuple[object, ...]]:
    """What the manager walked: a visit that is closed, one under way, a sheet copied in twice."""
    own = {"pavement": pavement, "entered_for": member.organisation}
    closed = VisitFactory(state="done", signed_by="M. Ferrand", **own)
    walk = VisitFactory(done_on=_now().date(), **own)
    defect = DefectFactory(number=900, **own)
    sheet = PrintedSheet.objects.create(
        number="INS-0900", kind="inspection", pavement=pavement, system="si", paper="a4"
    )
    given = {"sheet": sheet, "visit": closed, "copied_for": member.organisation}
    SheetCopy.objects.create(typed={}, **given)
    double = SheetCopy.objects.create(typed={}, is_double=True, **given)
    return {
        "manager's visit": (closed.pk,),
        "manager's walk": (walk.pk,),
        "known defect of the walk": (walk.pk, defect.pk),
        "inspection sheet": (sheet.number,),
        "manager's double": (sheet.number, double.pk),
    }


NO_COST = {
    "total": 60, "driving_minutes": 0, "crew_days": 1, "crew_day_minutes": 60, "prize_left": 0,
    "placed": 1,
}  # fmt: skip


def _ordered(pavement: Pavement, by: dict[str, Organisation]) -> dict[str, tuple[object, ...]]:
    """Orders of the manager: to be swept by itself, by the sweeper, and one sent to the town."""
    today, keeper = _now().date(), by["manager"]
    given = {"pavement": pavement, "organisation": keeper, "entered_for": keeper}
    dated = {"state": "dated", "dated_for": today, **given}
    crew = CrewFactory(organisation=by["sweeper"])
    given_to_sweeper = WorkOrderFactory(sweeper=by["sweeper"], **dated)
    PrintedSheet.objects.create(
        number="SWP-0900", kind="sweep", pavement=pavement, system="si", paper="a4",
        content={"order": given_to_sweeper.number},
    )  # fmt: skip
    stop = RoundStopFactory(
        day__round=RoundFactory(organisation=by["sweeper"], state="done", objective=NO_COST),
        day__crew=crew,
        order=WorkOrderFactory(sweeper=by["sweeper"], **dated),
    )
    planned = RoundFactory(organisation=by["sweeper"], state="done", objective={"total": 0})
    feed = CalendarFeedFactory(
        organisation=by["sweeper"],
        crew=crew,
        made_by=by["sweeper"].people.get(),
        secret=SECRET,
    )
    return {
        "manager's order": (WorkOrderFactory(**given).pk,),
        "sweeper's order": (given_to_sweeper.pk,),
        "sheet of the sweeper's order": ("SWP-0900",),
        "submitted order": (WorkOrderFactory(submitted_on=today, **given).pk,),
        "sweeper's crew": (crew.pk,),
        "sweeper's machine": (MachineFactory(organisation=by["sweeper"]).pk,),
        "sweeper's organisation": (by["sweeper"].pk,),
        "round worked out": (stop.day.round_id,),
        "order of a round": (stop.day.round_id, stop.order_id),
        "day of a round": (stop.day.round_id, stop.day_id),
        "a day": ("2026-09-14",),
        "a day of the sweeper's crew": ("2026-09-14", crew.pk),
        "sweeper's round": (planned.pk,),
        "sweeper's feed": (feed.pk,),
        "secret of the sweeper's feed": (SECRET,),
        "hours and site": ("site_window", pavement.site_id),
        "crew and organisation": ("crew", by["sweeper"].pk),
    }


def _sheet(pavement: Pavement, person: Person) -> PrintedSheet:
    return PrintedSheet.objects.create(
        number="INF-0001",
        kind="infiltration",
        pavement=pavement,
        system="si",
        paper="a4",
        printed_by=person,
    )


def _now() -> datetime:
    return timezone.now().astimezone(ZONE)


def _spreadsheet_of(organisation: Organisation) -> ImportBatch:
    return ImportBatch.objects.create(
        organisation=organisation, file_name="tests.csv", digest="0" * 64, state="checked"
    )
