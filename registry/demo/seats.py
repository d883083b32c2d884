"""Who holds which seat at the town's pavements, and when: built, managed, sold, split."""

from datetime import date, datetime

from registry.actions.add_entry import add_entry
from registry.actions.grant_seat import Term, grant_seat
from registry.actions.number_pavement import number_pavement
from registry.actions.sell_pavement import Deed, sell_pavement
from registry.actions.split_pavement import Part, split_pavement
from registry.demo.demands import PAVED, criteria, run_on
from registry.demo.ground import GROUNDS, Ground
from registry.demo.pavements import placed_year
from registry.demo.people import CONTRACTOR, EVALUATOR, MANAGER, TESTER, TOWN, Cast
from registry.demo.tables import ZONE, Line, day, midnight, read_table
from registry.models import Pavement
from registry.models.choices import Role

SPLIT_ON = date(2024, 11, 1)
MANAGED_SINCE = date(2021, 1, 1)
"""The manager's first tests are of May 2021; the day its agreements begin is invented."""


def give_seats(cast: Cast, pavements: dict[str, Pavement]) -> None:
    """Store the seats as they stood before any sale."""
    register = {line["town no."]: line for line in read_table("3A_register")}
    jobs = {line["job"]: line for line in read_table("1A_pavements")}
    for ground in GROUNDS:
        pavement = pavements[ground.key]
        job = jobs.get(ground.job)
        begins = midnight(day(job["placed"]) if job else placed_year(ground))
        owner = _owner(ground, register.get(ground.town), job)
        terms: list[tuple[str, Term]] = []
        if owner:
            terms.append((owner, Term(Role.OWNER, begins, source_document="deed")))
        if job:
            terms.append((CONTRACTOR, _contract(job, begins)))
        if ground.town:
            permit = f"stormwater permit {ground.town}"
            terms.append((TOWN, Term(Role.MUNICIPALITY, begins, source_document=permit)))
        if ground.manager:
            since = max(begins, midnight(MANAGED_SINCE))
            terms.append(
                (MANAGER, Term(Role.MANAGER, since, source_document="agreement to manage"))
            )
        for name, term in terms:
            grant_seat(pavement=pavement, organisation=cast[name], term=term, by=cast.writer(TOWN))
    _seat_visitors(cast, pavements)


def _owner(ground: Ground, entry: Line | None, job: Line | None) -> str:
    """Return the first owner; who came later follows by sale and split."""
    if job is not None:
        written = job["owner at completion"].split(" (")[0].split(",")[0]
        return TOWN if written == "Town of Sedgewater" else written
    written = entry["responsible"] if entry else ""
    return TOWN if written.startswith("Town Streets") else written.split(" / ")[0].strip("-")


def _contract(job: Line, begins: datetime) -> Term:
    return Term(
        Role.CONTRACTOR,
        begins,
        warranty_last_on=day(job["last day of warranty"]),
        source_document=f"contract of job {job['job']}",
    )


def _seat_visitors(cast: Cast, pavements: dict[str, Pavement]) -> None:
    """Store the seats of the consultant, the evaluator, and the renewed part's warranty."""
    north = pavements["PP-23-07"]
    renewed = Term(
        Role.CONTRACTOR,
        midnight(date(2025, 5, 13)),
        section=north.sections.get(),
        warranty_last_on=date(2026, 6, 5),
        source_document="settlement of 2024-10-02",
    )
    # Named on 2024-07-26; its part ended with the settlement.
    evaluator = Term(
        Role.EVALUATOR,
        midnight(date(2024, 7, 26)),
        to_at=midnight(date(2024, 10, 3)),
        source_document="appointed in the dispute over job H-2306",
    )
    tester = Term(
        Role.TESTER,
        midnight(date(2022, 5, 1)),
        to_at=midnight(date(2022, 7, 1)),
        source_document="order for tests, spring 2022",
    )
    for pavement, name, term in (
        (north, CONTRACTOR, renewed),
        (north, EVALUATOR, evaluator),
        (pavements["PP-21-02"], TESTER, tester),
    ):
        grant_seat(pavement=pavement, organisation=cast[name], term=term, by=cast.writer(MANAGER))


def sell_and_split(cast: Cast, pavements: dict[str, Pavement]) -> None:
    """Enter the sale of the driveway and the split of the court; the parts join `pavements`."""
    author = cast.as_author(TOWN)
    sell_pavement(
        pavement=pavements["PP-25-02"],
        deed=Deed(cast["M. Osei"], midnight(date(2026, 3, 31)), "deed of 2026-03-31"),
        decisions={},
        **author,
    )
    court = pavements["PP-23-03"]
    panels = list(court.panels.standing())
    shares = {
        part: frozenset(p.pk for p in panels if p.name[0] in letters)
        for part, letters in (("10A", "AB"), ("10B", "CD"))
    }
    made = split_pavement(
        pavement=court,
        parts=(
            Part("Old Bakery court, 10A", shares["10A"]),
            Part("Old Bakery court, 10B", shares["10B"]),
        ),
        on=SPLIT_ON,
        why="the parcel was split",
        **author,
    )
    for part, pavement in zip(shares, made, strict=True):
        pavements[f"PP-23-03 {part}"] = pavement
        _measure_anew(cast, pavement, part)
    # Noon: the deed's hour is not written, and a part can be sold only after it came to be.
    noon = datetime(2024, 11, 1, 12, tzinfo=ZONE)
    sell_pavement(
        pavement=made[1],
        deed=Deed(cast["Oakum Ltd"], noon, "deed of 2024-11-01"),
        decisions={},
        **author,
    )


def _measure_anew(cast: Cast, pavement: Pavement, part: str) -> None:
    """Number a part and give it criteria of its own, a half of the run-on each."""
    numbers = {TOWN: f"PP-23-03 {part}"} | ({MANAGER: "BC-10A"} if part == "10A" else {})
    for name, its_number in numbers.items():
        number_pavement(pavement, number=its_number, from_on=SPLIT_ON, **cast.as_author(name))
    area = run_on(pavement, "paved", 450.0, PAVED)
    area.from_on = SPLIT_ON
    add_entry(area, **cast.as_author(TOWN))
    asked = criteria(pavement, "stormwater permit PP-23-03, parts", from_on=SPLIT_ON)
    add_entry(asked, **cast.as_author(TOWN))
