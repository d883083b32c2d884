"""What was decided to be due -> the columns of its row, and where it is to be done."""

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from registry.gathering.due_facts import GatheredDue
from registry.gathering.due_rank import rank_columns
from registry.gathering.due_rows import DueRows
from registry.gathering.order_rows import area_of_panels_m2
from registry.models import Panel
from registry.models.panel import plan_order
from registry.planning.due import MODEL, PERMIT, SAND, Due, due_of
from registry.planning.earliest_day import Earliest
from registry.planning.enough_facts import Enough
from registry.planning.expected_gain import ExpectedGain
from registry.planning.methods import WASHES, Method
from registry.planning.permit_minimums import PermitCount
from registry.planning.proposal import Proposal
from registry.planning.words import NotDecided

BY = {MODEL: "fit", PERMIT: "permit", SAND: "sand"}
BY_ROWS = WASHES | {Method.JOINT_STONE}
"""Methods that are ordered for the rows that need them; all others go over the whole pavement."""
WITH_THE_WORST = timedelta(days=60)
"""Rows that fall due so soon after the worst place are done with it (house rule, no source)."""
LONGEST_ROWS = 240


def columns_of(gathered: GatheredDue) -> dict[str, Any]:
    """Return the columns of what is due at one pavement, by name."""
    first = due_of(gathered.facts)
    panels = _panels_to_do(gathered, first)
    area = area_of_panels_m2(panels) if panels else gathered.rows.pavement.area_m2
    rows_text = rows_in_words(panels, gathered.rows.panels) if panels else ""
    due = due_of(replace(gathered.facts, rows=rows_text, area_m2=area))
    enough = next(iter(gathered.enough.values()))
    return {
        "as_of_on": gathered.facts.as_of,
        "rows_text": due.rows,
        "area_m2": area,
        "latest_on": due.latest_on,
        "latest_by": BY.get(due.latest_by, ""),
        "latest_why": due.latest_why,
        "fit": gathered.rows.fit if due.latest_by == MODEL else None,
        "conflict": due.conflict,
        "reason": due.reason,
        "permits": [_permit(count) for count in gathered.facts.permits],
        "is_permit_short": any(count.done < count.asked for count in gathered.facts.permits),
        "no_longer_enough": enough.no_longer,
        "enough": {str(system): _answers(one) for system, one in gathered.enough.items()},
        "not_decided": _open(due),
        **_proposal(due.proposal),
        **_days(gathered, due),
        **_gain(due.gain),
        **rank_columns(gathered.rank),
    }


def _proposal(proposal: Proposal | NotDecided) -> dict[str, Any]:
    if isinstance(proposal, NotDecided):
        return {
            "method": "", "method_why": "", "method_source": "", "no_method": proposal.reason,
            "beside": [], "cautions": [],
        }  # fmt: skip
    return {
        "method": proposal.method.value,
        "method_why": proposal.why,
        "method_source": proposal.source,
        "no_method": "",
        "beside": [method.value for method in proposal.beside],
        "cautions": list(proposal.cautions),
    }


def _days(gathered: GatheredDue, due: Due) -> dict[str, Any]:
    days = gathered.days
    earliest = days.earliest if not isinstance(days, NotDecided) else None
    return {
        "earliest_on": due.earliest_on,
        "earliest_why": due.earliest_why,
        "possible_on": earliest.possible_on if isinstance(earliest, Earliest) else None,
        "season_last_on": None if isinstance(days, NotDecided) else days.last_on,
    }


def _gain(gain: ExpectedGain | NotDecided) -> dict[str, Any]:
    if isinstance(gain, NotDecided):
        return {"gain_median": None, "gain_low": None, "gain_high": None, "no_gain": gain.reason}
    return {
        "gain_median": gain.median, "gain_low": gain.low, "gain_high": gain.high, "no_gain": "",
    }  # fmt: skip


def _open(due: Due) -> list[str]:
    """Return why what is missing is missing, but for the cost, which is who asks'."""
    cost = due.cost.reason if isinstance(due.cost, NotDecided) else ""
    return [why for why in due.not_decided if why != cost]


def _permit(count: PermitCount) -> dict[str, Any]:
    return {
        "words": count.words,
        "asked": count.asked,
        "done": count.done,
        "first_on": count.first_on.isoformat(),
        "last_on": count.last_on.isoformat(),
        "next_by": count.next_by.isoformat(),
        "is_late": count.is_late,
        "missing_rows": [[name, times] for name, times in count.missing_rows],
        "not_counted": [[on.isoformat(), why] for on, why in count.not_counted],
    }


def _answers(enough: Enough) -> list[dict[str, Any]]:
    return [
        {"rule": int(a.rule), "holds": a.holds, "words": a.words, "missing": a.missing}
        for a in enough.answers
    ]


def _panels_to_do(gathered: GatheredDue, due: Due) -> list[Panel]:
    """Return the panels to do; none: the whole pavement.

    By a permit those that were cleaned less often than the others. A wash goes over the rows in
    which a spot is due with the worst place; where the surface as a whole decides, over all.
    """
    rows = gathered.rows
    if due.latest_by == PERMIT:
        behind = {name for c in gathered.facts.permits for name, _ in c.missing_rows}
        return _proper_part([p for p in rows.panels if p.name in behind], rows.panels)
    method = due.proposal.method if isinstance(due.proposal, Proposal) else None
    outlook = rows.outlook
    if method not in BY_ROWS or outlook is None or not outlook.sweep_by_place:
        return []
    letters = {letter for panel in _panels_due(rows) for letter in [row_of(panel)]}
    if not letters or "" in letters:
        return []
    return _proper_part([p for p in rows.panels if row_of(p) in letters], rows.panels)


def _panels_due(rows: DueRows) -> list[Panel]:
    """Return the panels of the spots that fall due with the worst place, its own among them."""
    outlook = rows.outlook
    if outlook is None or outlook.sweep_by_on is None:
        return []
    until = outlook.sweep_by_on + WITH_THE_WORST
    due = [s for s in outlook.spots if s["own_sweep_by_on"] and not s["why_not"]]
    due = [s for s in due if date.fromisoformat(s["own_sweep_by_on"]) <= until]
    found = [rows.panel_of.get(s["spot"]) for s in due]
    there = {panel.pk for panel in rows.panels}
    if any(panel is None or panel.pk not in there for panel in found):
        return []  # where one of them lies is not known, so all is done
    return [panel for panel in found if panel is not None]


def _proper_part(panels: list[Panel], there: tuple[Panel, ...]) -> list[Panel]:
    return [] if len(panels) == len(there) else panels


def row_of(panel: Panel) -> str:
    """Return the letters of a panel's name: its row or lane; empty where it has none."""
    return "".join(sign for sign in panel.name if sign.isalpha())


def rows_in_words(panels: list[Panel], there: tuple[Panel, ...]) -> str:
    """Return panels as people write them: "A, C" for whole rows, "A4, A9" for single panels."""
    chosen = {panel.pk for panel in panels}
    rows: dict[str, list[Panel]] = {}
    for panel in there:
        rows.setdefault(row_of(panel), []).append(panel)
    words: list[str] = []
    for row in sorted(rows, key=plan_order):
        names = [panel for panel in rows[row] if panel.pk in chosen]
        if row and len(names) == len(rows[row]):
            words.append(row)
        else:
            words += sorted((panel.name for panel in names), key=plan_order)
    text = ", ".join(words)
    return text if len(text) <= LONGEST_ROWS else f"{len(panels)} panels, see the permit count"
