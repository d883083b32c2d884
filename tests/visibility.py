"""Every kind of record at one pavement, at six moments of its life, and who asks for it.

Seats are those of the trade's table of who may see what: owner, manager, contractor who placed it,
sweeper, tester, municipality, buyer before closing, evaluator, former owner.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Any

from django.http import Http404

from registry import access
from registry.access.callbacks import (
    visible_callbacks,
    visible_hand_overs,
    visible_notes,
    visible_repairs,
    visible_warranties,
    visible_winter_log,
)
from registry.access.defects import (
    visible_defects,
    visible_observations,
    visible_photos,
    visible_visits,
)
from registry.access.dossiers import visible_dossiers
from registry.access.placing import (
    sees_inside,
    visible_cores,
    visible_lots,
    visible_placing_days,
    visible_raveled_shares,
)
from registry.access.pour_plans import visible_pour_plans
from registry.access.sheets import get_sheet, visible_sheets
from registry.access.work_orders import visible_work_orders
from registry.models import Pavement, Person, PrintedSheet
from registry.models.choices import Role
from tests import factories as made
from tests import placing_factories as placed

MOMENTS = (
    "before hand-over",
    "under warranty",
    "open callback",
    "in dispute",
    "after warranty",
    "after sale",
)
SEATS = {
    "owner": Role.OWNER,
    "manager": Role.MANAGER,
    "contractor": Role.CONTRACTOR,
    "sweeper": Role.SWEEPER,
    "tester": Role.TESTER,
    "municipality": Role.MUNICIPALITY,
    "buyer": Role.BUYER,
    "evaluator": Role.EVALUATOR,
    "former owner": Role.OWNER,
}
NOW = datetime.now(tz=UTC)
LONG_AGO = NOW - timedelta(days=1500)


@dataclass(frozen=True)
class Scene:
    """A pavement at a moment: who asks, and one row of each kind by its name."""

    pavement: Pavement
    people: dict[str, Person]
    rows: dict[str, Any]


def scene(moment: str) -> Scene:
    """Build the pavement of a moment."""
    pavement = made.PavementFactory()
    members = {
        name: made.MembershipFactory(organisation__name=f"{name}, {moment}") for name in SEATS
    }
    sides = {name: member.organisation for name, member in members.items()}
    today = NOW.date()
    over = moment in ("after warranty", "after sale")
    last = today + timedelta(days=-400 if over else 400)
    if moment in ("open callback", "in dispute"):
        last = today - timedelta(days=30)  # it is the callback that keeps the view open
    for name, role in SEATS.items():
        _seat(pavement, sides[name], name, role, moment, last)
    rows = _rows(pavement, sides, moment, last)
    for row in rows.values():
        if row is not None:  # written down before the sale
            type(row).objects.filter(pk=row.pk).update(entered_at=NOW - timedelta(days=10))
    rows |= _sheets(pavement, sides, rows)
    return Scene(pavement, {name: member.person for name, member in members.items()}, rows)


def _seat(pavement: Any, side: Any, name: str, role: str, moment: str, last: date) -> None:
    sold = NOW - timedelta(days=5)
    more: dict[str, Any] = {"from_at": LONG_AGO}
    if name == "former owner":
        if moment != "after sale":
            return
        more["to_at"] = sold
    if name == "owner" and moment == "after sale":
        more["from_at"] = sold
    if name == "contractor" and moment != "before hand-over":
        more["warranty_last_on"] = last
    made.SeatFactory(pavement=pavement, organisation=side, role=role, **more)


def _rows(pavement: Any, by: dict[str, Any], moment: str, last: date) -> dict[str, Any]:
    placer, manager = by["contractor"], by["manager"]
    own = {"pavement": pavement, "entered_for": placer}
    kept = {"pavement": pavement, "entered_for": manager}
    done = NOW.date() - timedelta(days=20)
    terms = placed.WarrantyFactory(
        **own,
        contractor=placer,
        years=2,
        state="not_started" if moment == "before hand-over" else "running",
    )
    if moment != "before hand-over":
        placed.HandOverFactory(
            **own, giver=placer, taker=by["owner"], is_first=True, state="in_effect",
            effective_at=NOW - timedelta(days=1000),
        )  # fmt: skip
    state = {"open callback": "visited", "in dispute": "disputed"}.get(moment, "closed")
    claim = placed.CallbackFactory(**own, contractor=placer, warranty=terms, state=state)
    claim.moves.create(to_state=state, on=NOW.date() - timedelta(days=40))
    attached = made.InfiltrationTestFactory(**kept, started_on=done, use="looked_at")
    swept = made.CleaningFactory(**kept, done_on=done)
    winter = placed.WinterEntryFactory(**kept)
    attach = {"callback": claim, "entered_for": placer, "winter_entry": None}
    placed.CallbackAttachmentFactory(**attach, infiltration_test=attached)
    placed.CallbackAttachmentFactory(**attach, cleaning=swept)
    placed.CallbackAttachmentFactory(**{**attach, "winter_entry": winter})
    defect = made.DefectFactory(**kept, first_seen_on=done)
    visit = made.VisitFactory(**kept, done_on=done)
    test = made.InfiltrationTestFactory(**kept, started_on=done, use="looked_at")
    return {
        "placing day": placed.PlacingDayFactory(**own),
        "crew by task": None,
        "pour plan": placed.PourPlanFactory(**own),
        "lot": placed.LotFactory(**own),
        "core of a callback": placed.CoreFactory(**kept, callback=claim),
        "raveled share": placed.RaveledShareFactory(**kept, looked_on=done),
        "acceptance test": made.InfiltrationTestFactory(
            **own, started_on=last - timedelta(days=700), reason="acceptance", use="looked_at"
        ),
        "test": test,
        "test attached to a callback": attached,
        "visit": visit,
        "defect": defect,
        "look at a defect": made.ObservationFactory(
            defect=defect, seen_on=done, entered_for=manager
        ),
        **_pictures(kept, own, attach, (visit, test, defect)),
        "cleaning": made.CleaningFactory(**kept, done_on=done),
        "cleaning attached to a callback": swept,
        "winter log": placed.WinterEntryFactory(**kept),
        "winter log attached to a callback": winter,
        "warranty": terms,
        "callback": claim,
        "letter of a callback": placed.CallbackNoteFactory(callback=claim, entered_for=placer),
        "contractor's inside note": placed.CallbackNoteFactory(
            callback=claim, entered_for=placer, kind="inside", inside_of=placer
        ),
        "repair of the warranty": placed.RepairFactory(**own, callback=claim),
        "hand-over": placed.HandOverFactory(**own, giver=placer, taker=by["owner"]),
    }


def _pictures(kept: Any, own: Any, attach: Any, of: tuple[Any, Any, Any]) -> dict[str, Any]:
    """Return photos by what they show; of: a visit, a test, a defect."""
    visit, test, defect = of
    pictures = {
        "photo": made.PhotoFactory(**kept),
        "photo of a visit": made.PhotoFactory(**kept, visit=visit),
        "photo of a test": made.PhotoFactory(**kept, infiltration_test=test),
        "photo of a defect": made.PhotoFactory(**kept, defect=defect),
        "photo attached to a callback": made.PhotoFactory(**kept),
        "photo that the contractor keeps": made.PhotoFactory(**own, shown_to="own"),
    }
    picture = pictures["photo attached to a callback"]
    placed.CallbackAttachmentFactory(**attach, photo=picture)
    return pictures


def _sheets(pavement: Any, by: dict[str, Any], rows: dict[str, Any]) -> dict[str, Any]:
    """Return a sheet of every kind, printed by nobody who asks, before the sale; what is on two."""
    defect, day = rows["defect"], rows["placing day"]
    keeper = {"pavement": pavement, "organisation": by["manager"], "entered_for": by["manager"]}
    order = made.WorkOrderFactory(**keeper, sweeper=by["sweeper"])
    type(order).objects.filter(pk=order.pk).update(entered_at=NOW - timedelta(days=10))
    on_it: dict[str, tuple[str, dict[str, Any]]] = {
        "sheet: spots to be tested": ("infiltration", {"spots": [["W", "A1", ""]]}),
        "sheet: inspection, no defect on it": ("inspection", {"known": []}),
        "sheet: inspection with a defect": (
            "inspection", {"known": [[1, "A1", "crack", "", defect.pk]]},
        ),
        "sheet: work order of the sweeper": ("sweep", {"order": order.number}),
        "sheet: load sheet": ("load", {"placing_day": day.pk}),
        "sheet: cover walk card": ("cover", {"placing_day": day.pk}),
        "sheet: hand-over certificate": ("handover", {"hand_over": rows["hand-over"].pk}),
        "sheet: dossier of the contractor": ("dossier", {}),
        "sheet: annual statement": ("statement", {}),
    }  # fmt: skip
    found = {
        name: PrintedSheet.objects.create(
            number=f"{kind[:3].upper()}-{pavement.pk}{nth}", kind=kind, pavement=pavement,
            system="si", paper="a4", content=content, printed_at=NOW - timedelta(days=10),
        )
        for nth, (name, (kind, content)) in enumerate(on_it.items())
    }  # fmt: skip
    paper = placed.DossierFactory(
        callback=rows["callback"],
        for_organisation=by["contractor"],
        sheet=found["sheet: dossier of the contractor"],
    )
    return {**found, "work order of the sweeper": order, "dossier of the contractor": paper}


def _of(visible: Callable[[Person, Pavement], Any]) -> Callable[[Person, Pavement, Any], bool]:
    def seen(person: Person, pavement: Pavement, row: Any) -> bool:
        return bool(visible(person, pavement).filter(pk=row.pk).exists())

    return seen


def _note(person: Person, pavement: Pavement, row: Any) -> bool:
    if not visible_callbacks(person, pavement).filter(pk=row.callback_id).exists():
        return False
    return bool(visible_notes(person, row.callback).filter(pk=row.pk).exists())


def _dossier(person: Person, pavement: Pavement, row: Any) -> bool:
    if not visible_callbacks(person, pavement).filter(pk=row.callback_id).exists():
        return False
    return bool(visible_dossiers(person, row.callback).filter(pk=row.pk).exists())


def _crew(person: Person, pavement: Pavement, row: Any) -> bool:
    return any(sees_inside(person, day) for day in visible_placing_days(person, pavement))


def _sheet(person: Person, pavement: Pavement, row: PrintedSheet) -> bool:
    """Say whether a sheet opens."""
    try:
        return get_sheet(person, row.number) == row
    except Http404:
        return False


TESTS, CLEANINGS = _of(access.visible_tests), _of(access.visible_cleanings)
ASK: dict[str, Callable[[Person, Pavement, Any], bool]] = {
    "placing day": _of(visible_placing_days),
    "crew by task": _crew,
    "pour plan": _of(visible_pour_plans),
    "lot": _of(visible_lots),
    "core of a callback": _of(visible_cores),
    "raveled share": _of(visible_raveled_shares),
    "acceptance test": TESTS,
    "test": TESTS,
    "test attached to a callback": TESTS,
    "visit": _of(visible_visits),
    "defect": _of(visible_defects),
    "look at a defect": _of(visible_observations),
    "photo": _of(visible_photos),
    "photo of a visit": _of(visible_photos),
    "photo of a test": _of(visible_photos),
    "photo of a defect": _of(visible_photos),
    "photo attached to a callback": _of(visible_photos),
    "photo that the contractor keeps": _of(visible_photos),
    "work order of the sweeper": _of(visible_work_orders),
    "cleaning": CLEANINGS,
    "cleaning attached to a callback": CLEANINGS,
    "winter log": _of(visible_winter_log),
    "winter log attached to a callback": _of(visible_winter_log),
    "warranty": _of(visible_warranties),
    "callback": _of(visible_callbacks),
    "letter of a callback": _note,
    "contractor's inside note": _note,
    "repair of the warranty": _of(visible_repairs),
    "hand-over": _of(visible_hand_overs),
    "dossier of the contractor": _dossier,
    "sheet: spots to be tested": _sheet,
    "sheet: inspection, no defect on it": _sheet,
    "sheet: inspection with a defect": _sheet,
    "sheet: work order of the sweeper": _sheet,
    "sheet: load sheet": _sheet,
    "sheet: cover walk card": _sheet,
    "sheet: hand-over certificate": _sheet,
    "sheet: dossier of the contractor": _sheet,
    "sheet: annual statement": _sheet,
}


WITH: dict[str, str] = {
    # placing record: all of a day is seen with the day
    "Load": "PlacingDay",
    "Spread": "Load",
    "LoadMove": "Load",
    "WeatherReading": "PlacingDay",
    "StrikeOff": "PlacingDay",
    "Blemish": "PlacingDay",
    "Cover": "PlacingDay",
    "CoverWalk": "PlacingDay",
    "CoverBreak": "PlacingDay",
    "Uncover": "PlacingDay",
    "EarlyLoad": "PlacingDay",
    "LotMove": "Lot",
    # warranty and callback: the parts of an entry are seen with it
    "WarrantyPart": "Warranty",
    "WarrantyMove": "Warranty",
    "AnswerLimit": "Warranty",
    "HolidayList": "Warranty",
    "CallbackMove": "Callback",
    "CallbackAnswer": "Callback",
    "CallbackAttachment": "Callback",
    "AgreedDate": "Callback",
    "PanelEvidence": "Callback",
    "PanelFinding": "Callback",
    "SettlementLine": "Callback",
    "ThirdParty": "Callback",
    "RepairMove": "Repair",
    "HandOverMove": "HandOver",
    # inspections and photos
    "WalkedPanel": "Visit",
    "WellReading": "Visit",
    "DefectMove": "Defect",
    "DefectLink": "Defect",
    "PhotoFile": "Photo",
    "PhotoExtent": "Photo",
    "PhotoMarks": "Photo",
    "SheetCopy": "PrintedSheet",
    # cleaning
    "CleanedPanel": "Cleaning",
    "WorkOrderMove": "WorkOrder",
    "OrderedPanel": "WorkOrder",
}
"""Models whose rows are seen with the row of a kind they belong to: a key leads from one to the
other, and no page fetches one but through it."""

NO_KIND: dict[str, str] = {
    **dict.fromkeys(
        (
            "Pavement", "PavementNumber", "Parcel", "Site", "SiteWindow", "Section", "Plan",
            "Panel", "Edge", "Joint", "Layer", "Structure", "Stratum", "RunOnArea", "DirtSource",
            "ObservationWell", "Spot", "SpotDraw", "Criteria", "PermitMinimum", "WarrantyCover",
        ),
        "pavement, plan and criteria: read by every seat at the pavement; tests/access_table.csv",
    ),
    **dict.fromkeys(
        ("PavementStanding", "Due", "Outlook", "Fit", "Pool", "PoolPlace"),
        "worked out, for those who read all tests; the town’s own copy apart: tests/access",
    ),
    **dict.fromkeys(
        (
            "Season", "SeasonDay", "Round", "RoundDay", "RoundStop", "RoundLeftOut", "RoundPin",
            "RoundCallOff", "TravelTable", "Crew", "CrewHoliday", "ExtraShift", "Machine", "Depot",
            "DumpPlace", "WaterPoint", "Ring", "Price", "RuleSetting", "CalendarFeed",
            "ImportBatch",
        ),
        "of one organisation, at no pavement: its own members alone, whatever the moment",
    ),
    **dict.fromkeys(
        ("Person", "Organisation", "Membership", "Invitation", "Seat"),
        "who sees, not what is seen",
    ),
    "JournalLine": "of an entry, by the rule of that entry: access/journal.py",
    "WaitingCorrection": "of an entry, to the two who corrected it and whoever may choose",
    "SheetCounter": "a number, never shown",
    "SentForm": "a fingerprint, never shown",
}  # fmt: skip
"""Models whose rows are no kind of the table, and why; a new model has to be put somewhere."""


def answers(at: Scene, kind: str) -> dict[str, str]:
    """Return who sees the row of a kind: "sees" or "nothing", by seat."""
    return {
        name: "sees" if ASK[kind](person, at.pavement, at.rows[kind]) else "nothing"
        for name, person in at.people.items()
    }


def listed(at: Scene) -> dict[str, set[str]]:
    """Return the kinds of sheets that stand in each seat's list."""
    names = {row.pk: kind for kind, row in at.rows.items() if isinstance(row, PrintedSheet)}
    return {
        name: {names[sheet.pk] for sheet in visible_sheets(person)}
        for name, person in at.people.items()
    }
