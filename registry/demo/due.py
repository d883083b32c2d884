"""What makes work due in the town: prices, permit minimums, dated days, one worn-out bay.

All of it is invented: prices, who asks for how many cleanings, the days of sand, frost and leaves,
and the loading bay with its tests, which washing brings back for a few months only.
"""

from datetime import date, datetime, time, timedelta
from decimal import Decimal

from registry.actions.add_entry import add_entry
from registry.actions.correct_entry import correct_entry
from registry.actions.grant_seat import Term, grant_seat
from registry.actions.record_cleaning import record_cleaning
from registry.actions.record_infiltration_test import record_infiltration_tests
from registry.actions.set_criteria import set_criteria
from registry.demo.people import MANAGER, TOWN, Cast
from registry.demo.tables import ZONE, midnight, square_feet
from registry.models import (
    Cleaning,
    CleaningMethod,
    Criteria,
    InfiltrationTest,
    Pavement,
    PermitMinimum,
    Price,
    SeasonDay,
    Site,
    Spot,
    Surface,
)
from registry.models.choices import Answer, Role
from registry.models.entry import Change
from registry.units import Kind, System, to_si

PRICES = (
    ("broom", "0.03", "180"),
    ("regenerative_air", "0.055", "390"),
    ("vacuum", "0.07", "450"),
    ("wash_and_vacuum", "0.45", "1200"),
)
"""(class of method, $ for each square foot, least amount)."""
TWICE_A_YEAR = ("PP-19-06", "PP-20-07", "PP-21-05", "PP-22-05", "PP-22-08", "PP-23-07")
DAYS = (
    ("leaf_down", date(2025, 11, 9)),
    ("first_frost", date(2025, 12, 4)),
    ("last_sand", date(2026, 3, 24)),
    ("last_frost", date(2026, 4, 3)),
)
BAY = "Library loading bay"
BAY_PLACED = date(2017, 6, 20)
ACTION_IN_H = 12.5
# Seconds of the main pour: 18.14 kg where it was fast at first, then 3.6 kg, as the prewet told.
LARGE_KG, SMALL_KG, RING_MM = 18.14, 3.6, 300.0
BAY_TESTS: tuple[tuple[str, date, str, float, float], ...] = (
    ("U", date(2017, 7, 6), "acceptance", LARGE_KG, 160.0),
    ("L", date(2017, 7, 6), "acceptance", LARGE_KG, 190.0),
    ("U", date(2024, 5, 28), "before_cleaning", SMALL_KG, 1500.0),
    ("U", date(2024, 6, 10), "after_cleaning", SMALL_KG, 380.0),
    ("U", date(2024, 10, 2), "yearly", SMALL_KG, 1380.0),
    ("U", date(2025, 5, 27), "before_cleaning", SMALL_KG, 1560.0),
    ("U", date(2025, 6, 12), "after_cleaning", SMALL_KG, 420.0),
    ("U", date(2025, 10, 7), "yearly", SMALL_KG, 1440.0),
    ("L", date(2026, 6, 1), "before_cleaning", SMALL_KG, 1700.0),
    ("L", date(2026, 6, 15), "after_cleaning", SMALL_KG, 900.0),
)
"""(spot, day, reason, kg, seconds). The bay's rates are worked out from these like any others."""
BAY_WASHES = (date(2024, 6, 4), date(2025, 6, 5), date(2026, 6, 9))


def make_work_due(cast: Cast, pavements: dict[str, Pavement], sites: dict[str, Site]) -> None:
    """Store prices of both keepers, permit minimums, dated days, and the loading bay."""
    _prices(cast)
    for key in TWICE_A_YEAR:
        row = PermitMinimum(
            pavement=pavements[key],
            set_by=TOWN,
            source_document=f"stormwater permit {key}",
            times=2,
            note="The number of cleanings is invented.",
        )
        add_entry(row, **cast.as_author(TOWN))
    for keeper in (TOWN, MANAGER):
        for fact, on in DAYS:
            note = "The day is invented."
            row_of_day = SeasonDay(organisation=cast[keeper], fact=fact, on=on, note=note)
            add_entry(row_of_day, **cast.as_author(keeper))
    change = {"climate": Change("cold, wet, leafy", "cold, wet, leafy")}
    why = "the town's seasons hold here"
    correct_entry(sites["Library"], changes=change, why=why, **cast.as_author(TOWN))
    _loading_bay(cast, sites["Library"])


def _prices(cast: Cast) -> None:
    a_foot = Decimal(repr(to_si(1.0, Kind.AREA, System.INCH_POUND)))
    for keeper in (TOWN, MANAGER):
        for method, per_ft2, at_least in PRICES:
            row = Price(
                organisation=cast[keeper],
                method_class=method,
                per_m2=(Decimal(per_ft2) / a_foot).quantize(Decimal("0.000001")),
                at_least=Decimal(at_least),
                currency="$",
                source_document="offers of spring 2026",
                as_written={"per_m2": f"{per_ft2} per ft²", "at_least": at_least},
                note="The price is invented.",
            )
            add_entry(row, **cast.as_author(keeper))


def _loading_bay(cast: Cast, site: Site) -> None:
    """Store a bay at which sweeping is no longer enough by three rules."""
    author = cast.as_author(MANAGER)
    bay = Pavement(
        site=site,
        name=BAY,
        surface=Surface.PERVIOUS_CONCRETE,
        use="lane",
        area_m2=square_feet(1350.0),
        placed_on=BAY_PLACED,
        as_written={"area_m2": "1,350 ft²"},
        note="Invented: it stands in no list of the town.",
    )
    add_entry(bay, **author)
    for name, role in ((TOWN, Role.OWNER), (MANAGER, Role.MANAGER)):
        term = Term(role, midnight(BAY_PLACED), source_document="deed and agreement, invented")
        grant_seat(pavement=bay, organisation=cast[name], term=term, by=cast.writer(TOWN))
    level = to_si(ACTION_IN_H, Kind.RATE, System.INCH_POUND)
    criteria = Criteria(
        pavement=bay,
        source_document="house rule of the library",
        action_rate_mm_h=level,
        action_rate_is_given=True,
        as_written={"action_rate_mm_h": "12.5 in/h"},
    )
    set_criteria(criteria, **author)
    spots = {name: add_entry(Spot(pavement=bay, name=name), **author) for name in ("U", "L")}
    for day in BAY_WASHES:
        wash = Cleaning(
            pavement=bay,
            done_on=day,
            started_at=datetime.combine(day, time(8), ZONE),
            method=CleaningMethod.WASH_AND_VACUUM,
            is_restorative=True,
            passes=2,
            surface="dry",
            reason="restorative",
        )
        record_cleaning(wash, before_tests=(), after_tests=(), **author)
    record_infiltration_tests([_test(bay, spots, *told) for told in BAY_TESTS], **author)


def _test(
    bay: Pavement, spots: dict[str, Spot], spot: str, on: date, reason: str, kg: float, s: float
) -> InfiltrationTest:
    """Return a test to ASTM C1701: the prewet of 3.6 kg took 30 s or more where it is slow."""
    return InfiltrationTest(
        pavement=bay,
        spot=spots[spot],
        method="c1701",
        reason=reason,
        started_on=on,
        started_at=datetime.combine(on, time(10), ZONE) + timedelta(minutes=10),
        system="si",
        ring=RING_MM,
        prewet_water=SMALL_KG,
        prewet_seconds=20.0 if kg == LARGE_KG else s * 1.05,
        water=kg,
        water_known_by="scale",
        seconds=s,
        ended="drained",
        rain_within_24_h=Answer.NO,
        surface="dry",
        tester_name="Tom Fenwright",
    )
