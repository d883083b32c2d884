"""What a hand-over certificate says of the record on its day: counts, spans, state, what is open.

It is worked out once, when the certificate is drawn up, and kept as it was.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import Count, Max, Min, QuerySet

from registry.gathering.defect_list import urgent_ones
from registry.gathering.layouts import current_plan
from registry.gathering.warranty_terms import parts_of
from registry.models import Load, Observation, Pavement, Warranty
from registry.models.choices import Word
from registry.placing.faults import NotGiven

YES, NONE = "y", "not in existence"
NAMED = 20
"""Open things of one kind that are named one by one: the certificate is one page. Of more the
number stands, with the first and the last."""


@dataclass(frozen=True)
class HandOverFacts:
    """Lists of [what, y or not in existence, words]; label to words; what is open, in words."""

    lines: list[list[str]]
    state: dict[str, Any]
    opens: list[str]
    warranty: dict[str, Any]


def hand_over_facts(pavement: Pavement) -> HandOverFacts:
    """Gather what is handed over. Every figure is a count or a span of standing entries."""
    return HandOverFacts(
        _lines(pavement), _state(pavement), list(_open(pavement)), _warranty(pavement)
    )


def _lines(pavement: Pavement) -> list[list[str]]:
    plan = current_plan(pavement)
    days = pavement.placing_days.standing()
    tests = pavement.infiltration_tests.standing()
    winters = pavement.winter_entries.standing()
    stands = {"covers__isnull": False, "covers__void_at": None, "covers__double_of": None}
    strips = days.filter(**stands).distinct()
    written = Load.objects.standing().filter(placing_day__in=days)
    found = written.aggregate(count=Count("pk"), days=Count("placing_day", distinct=True))
    count, on = found["count"], found["days"]
    loads = f"{_many(count, 'load')} on {_many(on, 'day')}" if count else ""
    open_defects = pavement.defects.standing().exclude(state__in=("closed", "repaired"))
    rows = open_defects.order_by("number").values_list("number", flat=True)
    papers = [row.source_document for row in pavement.criteria.standing() if row.source_document]
    return [
        _line("as-built plan", f"plan no. {plan.number}" if plan else ""),
        _line("load record", loads),
        _line("curing log", f"of {_many(strips.count(), 'day')}" if strips.exists() else ""),
        _line("acceptance tests", _span(tests.filter(reason="acceptance"), "started_on")),
        _line("all infiltration tests", _span(tests, "started_on")),
        _line("inspections", _span(pavement.visits.standing(), "done_on")),
        _line("defects open", _numbers(list(rows))),
        _line("cleanings", _span(pavement.cleanings.done(), "done_on")),
        _line("winter log", _span(winters, "done_on")),
        _line("photos", _count(pavement.photos.standing(), "files as taken")),
        _line("permit and agreement", ", ".join(dict.fromkeys(papers))),
    ]


def _line(what: str, words: str) -> list[str]:
    return [what, YES if words else NONE, words]


def _numbers(numbers: Sequence[int]) -> str:
    """Return "3: no. 1, 4, 7"; of many the first and the last."""
    if len(numbers) > NAMED:
        return f"{len(numbers)}, between no. {numbers[0]} and no. {numbers[-1]}"
    listed = ", ".join(str(number) for number in numbers)
    return f"{len(numbers)}: no. {listed}" if numbers else ""


def _many(count: int, word: str) -> str:
    return f"{count} {word}" if count == 1 else f"{count} {word}s"


def _count(rows: QuerySet, words: str) -> str:
    count = rows.count()
    return f"{count} {words}" if count else ""


def _span(rows: QuerySet, day: str) -> str:
    found = rows.aggregate(count=Count("pk"), first=Min(day), last=Max(day))
    if not found["count"]:
        return ""
    return f"{found['count']}, {found['first']} to {found['last']}"


def _state(pavement: Pavement) -> dict[str, Any]:
    """Return the condition as its holders see it, and lips over 1/4 in."""
    row = pavement.standings.filter(viewpoint="holder").first()
    looks = Observation.objects.filter(defect__pavement=pavement)
    lips = urgent_ones(pavement.defects.standing(), looks).order_by("number")
    found: dict[str, Any] = {
        "word": str(Word(row.word).label) if row else "not decided",
        "lips": ", ".join(f"defect {defect.number}" for defect in lips),
    }
    if row is not None:
        found |= {
            "lowest_mm_h": row.lowest_mm_h,
            "lowest_sign": row.lowest_sign,
            "lowest_spot": row.lowest_spot,
            "lowest_on": str(row.lowest_on or ""),
            "action_rate_mm_h": row.action_rate_mm_h,
        }
    return found


def open_things_of(pavement: Pavement) -> list[str]:
    """Return what is open at a pavement and has to go to somebody, in words."""
    return list(_open(pavement))


def _open(pavement: Pavement) -> Iterable[str]:
    yield from _named("work order", pavement.work_orders.open())
    yield from _named("callback", pavement.callbacks.open())
    yield from _named("repair", pavement.repairs.under_way())


def _named(word: str, rows: QuerySet) -> Iterator[str]:
    """Yield each open thing; of more than `NAMED` one line: nobody signs for thousands by name."""
    found = list(rows.order_by("pk")[: NAMED + 1])
    if len(found) <= NAMED:
        yield from (f"{word} {row}, {row.get_state_display()}" for row in found)
        return
    last = rows.order_by("-pk").first()
    yield f"all {rows.count()} open {word}s, the first {found[0]}, the last {last}"


def _warranty(pavement: Pavement) -> dict[str, Any]:
    """Return the start and the last days of the warranty that runs, by part."""
    row: Warranty | None = pavement.warranties.standing().order_by("-start_on", "-pk").first()
    if row is None:
        return {}
    parts = parts_of(row, row.parts.all())
    return {
        "number": str(row),
        "start": str(row.start_on or "not agreed"),
        "last_days": [[one.part.name, _day(one.last_day)] for one in parts],
        "transfer": str(row.get_transfer_rule_display() or "nothing written"),
        "exclusions": [words for _, words in row.exclusions],
    }


def _day(found: date | NotGiven) -> str:
    return found.reason if isinstance(found, NotGiven) else found.isoformat()
