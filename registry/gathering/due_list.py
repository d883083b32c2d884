"""Lines of what is due, for page and file: with cost, open order and a filled link to ask."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any
from urllib.parse import urlencode
from zoneinfo import ZoneInfo

from registry.gathering.due_facts import price_holds
from registry.models import CleaningMethod, Due, Organisation, Price, Seat, WorkOrder
from registry.models.choices import Role
from registry.models.cleaning import RESTORATIVE
from registry.models.due import DueQuerySet
from registry.planning.enough_facts import EnoughRule
from registry.planning.spend import UnitPrice
from registry.planning.words import NotDecided
from registry.units import Kind, System, show

NO_PRICE = "Not decided: your side has no price for this method."
NO_METHOD = "Not decided: no method is proposed."
RULE_WORDS = {
    EnoughRule.AFTER_THE_BEST: "below right after the best method",
    EnoughRule.BACK_BELOW: "back below in under 6 months, twice",
    EnoughRule.SMALL_SHARE: "regained under 25 %, twice",
    EnoughRule.CORE: "core closed or fines deep",
    EnoughRule.WIDTH: "width needed over width left",
    EnoughRule.SINCE_PLACING: "low since placing, and cleaning never helped",
}
REASON_OF = {"permit": "permit", "sand": "after_sand", "fit": "below_level"}
"""Reason of an order by what sets the latest day."""
LONGEST_REASON, LONGEST_WHY = 240, 200


@dataclass(frozen=True)
class RuleLine:
    """One of the six rules: its number, what it says, the figures or why it is open."""

    number: int
    rule: str
    holds: bool | None
    words: str
    missing: str


@dataclass(frozen=True)
class Cost:
    """Cost of one cleaning; `why_not` stands in its place where it is None."""

    amount: Decimal | None = None
    currency: str = ""
    why_not: str = ""


@dataclass(frozen=True)
class DueLine:
    """A line of the list.

    today    the day at the site
    cost     None where the viewer's side pays no cleaning there
    order    an open order of the pavement that the viewer sees
    asks     what fills the form of a work order; None where the viewer may not ask for one
    rules    the six answers in the viewer's units
    need     reason of its rank: each key of the order that is known, in the viewer's units
    """

    due: Due
    owner: str
    today: date
    cost: Cost | None
    order: WorkOrder | None
    asks: Mapping[str, str] | None
    rules: tuple[RuleLine, ...]
    need: str

    @property
    def is_late(self) -> bool:
        """Say whether the latest day has passed."""
        return self.due.is_late(self.today)

    @property
    def is_too_early(self) -> bool:
        """Say whether the first sensible day is still to come."""
        return self.due.is_too_early(self.today)

    @property
    def reason(self) -> str:
        """Return the reason as a sentence."""
        text = self.due.reason.rstrip(".")
        return f"{text[:1].upper()}{text[1:]}."

    @property
    def ask_query(self) -> str:
        """Return the address of the filled form after its question mark."""
        return urlencode(self.asks or {})

    @property
    def holding(self) -> tuple[RuleLine, ...]:
        """Return the rules by which sweeping is no longer enough."""
        return tuple(rule for rule in self.rules if rule.holds)

    @property
    def beside(self) -> str:
        """Return the methods that go with the one proposed, in words."""
        return ", ".join(str(CleaningMethod(code).label) for code in self.due.beside)


@dataclass(frozen=True)
class Beside:
    """What stands beside a page of lines: by pavement, but prices by organisation."""

    owners: Mapping[int, str]
    payers: Mapping[int, Organisation]
    prices: Mapping[int, list[Price]]
    orders: Mapping[int, WorkOrder]


def due_lines(
    rows: Iterable[Due], beside: Beside, *, at: datetime, system: System
) -> Iterator[DueLine]:
    """Yield the lines of rows fetched with their pavements and sites; no query is made."""
    for due in rows:
        pk = due.pavement_id
        today = at.astimezone(ZoneInfo(due.pavement.site.time_zone)).date()
        payer = beside.payers.get(pk)
        yield DueLine(
            due=due,
            owner=beside.owners.get(pk, ""),
            today=today,
            cost=cost_of(due, beside.prices.get(payer.pk, []), today) if payer else None,
            order=beside.orders.get(pk),
            asks=asks_of(due, today) if payer else None,
            rules=rules_of(due, system),
            need=need_of(due, system),
        )


def need_of(due: Due, system: System) -> str:
    """Return why a pavement has its rank, in the order of the keys; "" before it is worked out.

    The run-on area is the last key: it decides where the others are the same or not known.
    """
    if not due.rank_why or due.run_on_m2 is None:
        return due.rank_why
    return f"{due.rank_why}, run-on area {show(due.run_on_m2, Kind.AREA, system)}"


def owners_of(pavements: Iterable[int], at: datetime) -> dict[int, str]:
    """Return the names of the owners at an instant, by pavement (one query)."""
    seats = Seat.objects.held_at(at).filter(pavement__in=pavements, role=Role.OWNER)
    rows = seats.order_by("pk").values_list("pavement_id", "organisation__name")
    found: dict[int, str] = {}
    for pk, name in rows:
        found[pk] = f"{found[pk]}, {name}" if pk in found else name
    return found


def price_of(plain: Mapping[str, Any]) -> Price:
    """Return a price from its columns as a query gave them, unsaved."""
    amounts = {name: Decimal(str(plain[name])) for name in ("per_m2", "at_least")}
    return Price(method_class=plain["method_class"], currency=plain["currency"], **amounts)


def cost_of(due: Due, prices: Iterable[Price], today: date) -> Cost:
    """Return what one cleaning of the rows to do costs by the price that holds today."""
    if not due.method:
        return Cost(why_not=NO_METHOD)
    mine = [p for p in prices if p.method_class == due.method_class and price_holds(p, today)]
    if not mine:
        return Cost(why_not=NO_PRICE)
    price = mine[-1]
    unit = UnitPrice(per_m2=float(price.per_m2), at_least=float(price.at_least))
    amount = unit.of(due.area_m2)
    if isinstance(amount, NotDecided):
        return Cost(why_not=f"Not decided: {amount.reason}")
    return Cost(Decimal(repr(amount)).quantize(Decimal("0.01")), price.currency)


def rules_of(due: Due, system: System) -> tuple[RuleLine, ...]:
    """Return the answers of the six rules in the words of a unit system."""
    return tuple(
        RuleLine(
            answer["rule"], RULE_WORDS[EnoughRule(answer["rule"])], answer["holds"],
            answer["words"], answer["missing"],
        )
        for answer in due.enough.get(str(system), ())
    )  # fmt: skip


def asks_of(due: Due, today: date) -> dict[str, str]:
    """Return what fills the form of a work order, by field.

    Where the latest day comes before the first sensible one, only the latest is filled in, and the
    reason says so: which of the two gives way a person decides.
    """
    earliest = due.earliest_on if due.earliest_on and due.earliest_on > today else None
    clash = bool(earliest and due.latest_on and due.latest_on < earliest)
    said = due.conflict if clash else due.reason
    fields: dict[str, Any] = {
        "method": due.method,
        "reason": _reason(due),
        "because": _cut(said, LONGEST_REASON),
        "earliest_on": earliest if earliest and not clash else "",
        "earliest_why": _cut(due.earliest_why, LONGEST_WHY) if earliest and not clash else "",
        "latest_on": due.latest_on or "",
        "latest_why": _cut(due.latest_why, LONGEST_WHY) if due.latest_on else "",
        "rows_text": due.rows_text,
        "covers_all": "no" if due.rows_text else "",
    }
    return {name: str(value) for name, value in fields.items() if value}


def _reason(due: Due) -> str:
    if due.latest_by == "fit" and due.method in RESTORATIVE:
        return "restorative"
    return REASON_OF.get(due.latest_by, "")


def _cut(text: str, longest: int) -> str:
    return text if len(text) <= longest else f"{text[: longest - 1]}…"


def in_pieces(rows: DueQuerySet, at_once: int = 500) -> Iterator[list[Due]]:
    """Yield the rows in pieces, in their order."""
    ids = list(rows.values_list("pk", flat=True))
    for start in range(0, len(ids), at_once):
        yield dues_in_order(rows, ids[start : start + at_once])


def dues_in_order(rows: DueQuerySet, ids: list[int]) -> list[Due]:
    """Return rows by their ids, in the order of the ids (one query)."""
    of_ids = rows.model._default_manager.filter(pk__in=ids)
    found = of_ids.select_related("pavement__site").in_bulk()
    return [found[pk] for pk in ids if pk in found]
