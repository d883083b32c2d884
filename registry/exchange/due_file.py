"""The list of what is due as CSV. Texts never become formulas; areas are in the viewer's units."""

import csv
from collections.abc import Iterable, Iterator
from io import StringIO

from registry.exchange.guarded_text import guard
from registry.gathering.due_list import DueLine
from registry.units import Kind, System, from_si

UNIT_OF_AREA = {System.SI: "m2", System.INCH_POUND: "ft2"}
BEFORE_AREA = ("pavement", "site", "owner", "method", "rows")
AFTER_AREA = (
    "earliest_on", "earliest_why", "season_last_on", "latest_on", "latest_by", "latest_why",
    "late", "reason", "gain", "gain_low", "gain_high", "cost", "currency", "permits",
    "no_longer_enough", "rules", "conflict", "open_order", "not_decided", "need",
    "need_not_known", "as_of_on",
)  # fmt: skip


def due_csv(pieces: Iterable[Iterable[DueLine]], system: System) -> Iterator[str]:
    """Yield the lines of a CSV file, header first."""
    header = (*BEFORE_AREA, f"area_{UNIT_OF_AREA[system]}", *AFTER_AREA)
    yield ",".join(header) + "\r\n"
    for piece in pieces:
        target = StringIO()
        writer = csv.writer(target)
        writer.writerows([guard(cell) for cell in _cells(line, system)] for line in piece)
        yield target.getvalue()


def _cells(line: DueLine, system: System) -> tuple[str, ...]:
    due, cost = line.due, line.cost
    area = due.area_m2
    return (
        due.pavement.name,
        due.pavement.site.name,
        line.owner,
        due.get_method_display() if due.method else "",
        due.rows_text or "all",
        "" if area is None else f"{from_si(area, Kind.AREA, system):.1f}",
        _day(due.earliest_on),
        due.earliest_why,
        _day(due.season_last_on),
        _day(due.latest_on),
        due.get_latest_by_display() if due.latest_by else "",
        due.latest_why,
        "yes" if line.is_late else "",
        due.reason,
        _number(due.gain_median),
        _number(due.gain_low),
        _number(due.gain_high),
        str(cost.amount) if cost and cost.amount is not None else "",
        cost.currency if cost else "",
        "; ".join(permit["words"] for permit in due.permits),
        {True: "yes", False: "no", None: "not decided"}[due.no_longer_enough],
        "; ".join(f"({rule.number}) {rule.words}" for rule in line.holding),
        due.conflict,
        str(line.order) if line.order else "",
        " ".join(due.not_decided),
        line.need,
        ", ".join(due.rank_open),
        due.as_of_on.isoformat(),
    )


def _day(value: object) -> str:
    return "" if value is None else str(value)


def _number(value: float | None) -> str:
    return "" if value is None else f"{value:.2f}"
