"""The dispute of the demonstration's north lot, entered by the same actions as a person uses."""

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

from registry.actions.move_signed import move_signed
from registry.actions.receive_callback import receive_callback
from registry.models import Callback, Warranty
from tests.factories import OrganisationFactory, PavementFactory, SiteFactory
from tests.placing_factories import (
    AgreedDateFactory,
    AnswerLimitFactory,
    HolidayListFactory,
    WarrantyFactory,
    WarrantyPartFactory,
)

NOBODY = {"by": None, "organisation": None}
NEW_YORK = ZoneInfo("America/New_York")
HOLIDAYS = ["2024-05-27", "2024-07-04", "2024-09-02"]
CLAIMED = [f"C{n}" for n in range(4, 12)] + [f"D{n}" for n in range(7, 12)] + ["B11"]
RENEWED = [f"C{n}" for n in range(5, 12)] + [f"D{n}" for n in range(8, 12)]
LIMITS = (
    ("acknowledge", 5, "working", "counted"),
    ("visit", 15, "working", "counted"),
    ("finding", 30, "calendar", "visited"),
    ("reply", 20, "working", "finding"),
    ("evaluator", 15, "working", "disputed"),
    ("remedy", 90, "calendar", "settled"),
)
MOVES = (
    ("acknowledged", date(2024, 5, 2)),
    ("visit_set", date(2024, 5, 2)),
    ("visited", date(2024, 5, 14)),
    ("finding_issued", date(2024, 6, 17)),
    ("accepted_in_part", date(2024, 6, 17)),
    ("disputed", date(2024, 7, 9)),
    ("evaluator_named", date(2024, 7, 26)),
    ("reported", date(2024, 9, 12)),
    ("settlement_offered", date(2024, 10, 2)),
    ("settled", date(2024, 10, 2)),
    ("remedy_dated", date(2024, 10, 2)),
    ("remedy_done", date(2025, 5, 14)),
    ("closed", date(2025, 6, 6)),
)


def terms(**more) -> Warranty:
    """Two years from 2023-09-15; after 17:00 a notice counts as the next working day."""
    site = SiteFactory(time_zone="America/New_York")
    holidays = HolidayListFactory(days=[[day, "holiday of the contract"] for day in HOLIDAYS])
    row = WarrantyFactory(
        pavement=more.pop("pavement", None) or PavementFactory(site=site),
        start_on=date(2023, 9, 15),
        years=2,
        notice_closes=datetime(2024, 1, 1, 17, tzinfo=UTC).time(),
        notice_zone="America/New_York",
        notice_on_working_days="yes",
        notice_days=30,
        holiday_list=holidays,
        state="running",
        **more,
    )
    for step, days, counting, after in LIMITS:
        AnswerLimitFactory(warranty=row, step=step, days=days, counting=counting, after=after)
    return row


def notice(warranty: Warranty, **more) -> Callback:
    """The notice of Friday 2024-04-26, 17:42 at the place."""
    given = {
        "pavement": warranty.pavement,
        "warranty": warranty,
        "contractor": warranty.contractor,
        "number": "CB-5",
        "claim": "raveling, north lot",
        "as_received": "Stones come off all over the north lot.",
        "received_at": datetime(2024, 4, 26, 17, 42, tzinfo=NEW_YORK),
        "discovered_on": date(2024, 4, 18),
        "panels": CLAIMED,
    }
    return receive_callback(Callback(**{**given, **more}), **NOBODY)


def lived_through(row: Callback, until: str = "closed") -> Callback:
    """Move a callback by the days of the dispute, up to and with a state."""
    for state, on in MOVES:
        given = {"signed_by": "J. Hollin", "by": None, "organisation": row.contractor}
        if state == "settlement_offered":
            given["why"] = "as signed on paper"
        if state == "settled":
            given |= {"signed_by": "M. Teller", "organisation": OrganisationFactory()}
        move_signed(row, to_state=state, on=on, **given)
        if state == until:
            break
    return row


def settled_later(row: Callback) -> None:
    """Both sign a new date for the remedy; the replaced panels get a year of their own."""
    AgreedDateFactory(callback=row, signed_on=date(2024, 10, 2), is_confirmed=True)
    WarrantyPartFactory(
        warranty=row.warranty, panels=RENEWED, start_on=date(2025, 6, 6), name="replaced panels"
    )
