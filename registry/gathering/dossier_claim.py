"""The claim as rows of a dossier: terms, notice, clocks, findings, answers, letters, settlement.

Notes kept inside are left out whoever asks: a dossier is for the other side.
"""

from collections.abc import Iterable, Sequence
from zoneinfo import ZoneInfo

from registry.dossier import Book, Cell, blank, number, words
from registry.gathering.callback_clocks import DONE_BY, HAPPENED, day_of, in_force, said_dates
from registry.gathering.dossier_cells import cell, day, instant, label, panels
from registry.gathering.recurrences import Recurrence
from registry.gathering.winter_zone import does_reach
from registry.models import (
    AfterEvent,
    Callback,
    CallbackMove,
    CallbackNote,
    Repair,
    Step,
    Warranty,
    WinterEntry,
)

THE_WARRANTY = "the warranty"
_STEP_NAMES = {
    Step.ACKNOWLEDGE: "acknowledged",
    Step.VISIT: "visit",
    Step.FINDING: "finding",
    Step.REPLY: "reply",
    Step.EVALUATOR: "evaluator",
    Step.REMEDY: "remedy",
}


def add_claim(book: Book, row: Callback, zone: ZoneInfo, *, prepared: str, zone_rule: str) -> None:
    """Add the callback itself, its terms, notice and clocks."""
    warranty = row.warranty
    owner = row.claimed_for
    book.add(
        "callback",
        row.number,
        {
            "number": words(row.number),
            "job": words(warranty.number if warranty else ""),
            "claim": cell(row, "claim"),
            "as_received": cell(row, "as_received"),
            "panels": panels(row),
            "panels_text": cell(row, "panels_text"),
            "extent": cell(row, "extent"),
            "claimed_by": cell(row, "claimed_by"),
            "urgent": label(row, "is_urgent"),
            "clauses_argued": cell(row, "clauses_argued"),
            "not_known": cell(row, "not_known"),
            "state": label(row, "state"),
            "contractor": words(str(row.contractor)),
            "contractor_address": words(_one_line(row.contractor.address)),
            "owner": words(str(owner) if owner else ""),
            "owner_address": words(_one_line(owner.address) if owner else ""),
            "zone_rule": words(zone_rule),
            "prepared": words(prepared),
        },
    )
    moves = list(row.moves.select_related("by", "by_organisation"))
    _add_moves(book, moves)
    if warranty is None:
        return
    _add_terms(book, warranty, zone)
    _add_notice(book, row, warranty, zone)
    _add_clocks(book, row, warranty, moves)


def _one_line(text: str) -> str:
    return ", ".join(part.strip() for part in text.splitlines() if part.strip())


def _add_terms(book: Book, row: Warranty, zone: ZoneInfo) -> None:
    closes = row.notice_closes
    book.add(
        "terms",
        THE_WARRANTY,
        {
            "document": cell(row, "document"),
            "start_event": cell(row, "start_event"),
            "start_on": cell(row, "start_on"),
            "years": number(row.years),
            "ended_early_on": cell(row, "ended_early_on"),
            "exclusions": words("; ".join(f"{clause} ({key})" for key, clause in row.exclusions)),
            "duties": cell(row, "duties"),
            "notice_zone": words(row.notice_zone or str(zone)),
            "notice_closes": words(f"{closes:%H:%M}") if closes else blank(),
            "notice_working_days_only": Cell(row.notice_on_working_days == "yes"),
            "notice_days": number(row.notice_days),
        },
    )
    for part in row.parts.all():
        if part.void_at is None and part.double_of_id is None:
            book.add(
                "parts",
                part.name,
                {
                    "panels": panels(part),
                    "start_on": cell(part, "start_on"),
                    "years": number(part.years),
                    "ended_early_on": cell(part, "ended_early_on"),
                },
            )
    listed = row.holiday_list
    if listed is not None:
        days = [one for one, _ in listed.days]
        rest = listed.weekly_rest
        told = blank() if rest is None else Cell(sorted(rest))
        book.add("holidays", listed.name, {"days": Cell(days), "rest": told})


def _add_notice(book: Book, row: Callback, warranty: Warranty, zone: ZoneInfo) -> None:
    at = row.received_at
    place = ZoneInfo(warranty.notice_zone) if warranty.notice_zone else zone
    local = at.astimezone(place) if at else None
    book.add(
        "notice",
        row.number,
        {
            "arrived_local": words(local.isoformat(), f"{local:%Y-%m-%d %H:%M}")
            if local
            else blank(row.kind_of_empty("received_at")),
            "came_by": label(row, "came_by"),
            "discovered_on": cell(row, "discovered_on"),
            "counted_on": cell(row, "counted_on"),
            "counted_why": cell(row, "counted_why"),
            "covered_by": words(_covering(book, row)),
        },
    )


def _covering(book: Book, row: Callback) -> str:
    """The newest part that had begun and has every panel claimed, else the warranty.

    A claim over both, or one without panels where a part had begun, is covered by no single one.
    """
    claimed = set(row.panels)
    on = row.counted_on.isoformat() if row.counted_on else ""
    for name in reversed(book.of("parts")):
        own, start = book.read("parts", name, "panels"), book.read("parts", name, "start_on")
        if not start or start > on:
            continue
        if claimed and claimed <= set(own):
            return name
        if not claimed or claimed & set(own):
            return "not decided: more than one part"
    return THE_WARRANTY


def _add_clocks(
    book: Book, row: Callback, warranty: Warranty, moves: Sequence[CallbackMove]
) -> None:
    dates = list(row.agreed_dates.standing().select_related("entered_for"))
    signed = {step: one.due_on for step, one in in_force(dates).items()}
    for said in said_dates(row, dates):
        due = {"due_on": day(said.row.due_on), "words": words(said.words)}
        book.add("said_days", _STEP_NAMES[Step(said.row.step)], due)
    limits = {one.step: one for one in warranty.limits.all() if one.void_at is None}
    for step, name in _STEP_NAMES.items():
        limit = limits.get(step)
        if limit is None:
            continue
        after = AfterEvent(limit.after)
        happened = row.counted_on if after == AfterEvent.COUNTED else day_of(moves, HAPPENED[after])
        book.add(
            "clocks",
            name,
            {
                "days": number(limit.days),
                "counting": words(limit.counting),
                "after_what": label(limit, "after"),
                "after_on": day(happened),
                "to_working_day": Cell(limit.to_working_day),
                "agreed_on": day(signed.get(step)),
                "done_on": day(day_of(moves, DONE_BY[step])),
                "clause": cell(limit, "clause"),
            },
        )
    for step, name in _STEP_NAMES.items():
        if step in signed and step not in limits:
            done = day(day_of(moves, DONE_BY[step]))
            book.add("agreed_days", name, {"due_on": day(signed[step]), "done_on": done})


def _add_moves(book: Book, moves: Iterable[CallbackMove]) -> None:
    for move in moves:
        back = f"back to {move.to_word}" if move.is_back else move.to_word
        cells = {"on": day(move.on), "state": words(back), "why": words(move.why)}
        entered = ", ".join(str(one) for one in (move.by, move.by_organisation) if one)
        signed = move.signed_by or (f"entered by {entered}" if entered else "no name kept")
        book.add("moves", f"{move.on} {back}", cells | {"signed": words(signed)})


def add_papers(book: Book, row: Callback, notes: Iterable[CallbackNote], zone: ZoneInfo) -> None:
    """Add findings, answers, letters that both sides see, third parties and the settlement."""
    for one in _standing(row.findings.all()):
        book.add(
            "findings",
            f"{one.panel} {one.get_cause_display()}",
            {
                "panel": words(one.panel),
                "cause": label(one, "cause"),
                "confidence": label(one, "confidence"),
                "came_first": Cell(one.came_first),
                **{
                    name: cell(one, name)
                    for name in ("speaks_for", "speaks_against", "missing", "found_by", "found_on")
                },
            },
        )
    for answer in _standing(row.answers.all()):
        by_clause: dict[str, list[str]] = {}
        for panel, why in answer.declined:
            by_clause.setdefault(why, []).append(panel)
        declined = "; ".join(f"{', '.join(own)}: {why}" for why, own in by_clause.items())
        book.add(
            "answers",
            f"{answer.get_kind_display()}, {answer.answered_on}",
            {
                "accepted": words(answer.accepted_text or ", ".join(answer.accepted_panels)),
                "declined": words(declined),
                "goodwill": cell(answer, "goodwill"),
                "remedy": cell(answer, "remedy"),
                "remedy_by": cell(answer, "remedy_by"),
                "may_dispute_by": cell(answer, "may_dispute_by"),
                "text": cell(answer, "text"),
            },
        )
    for note in notes:
        if note.inside_of_id is None:
            at = instant(note, "happened_at", zone).shown if note.happened_at else ""
            name = f"{at or note.happened_on} {note.get_kind_display()}"
            book.add("letters", name, {"who": cell(note, "who"), "text": cell(note, "text")})
    for party in _standing(row.third_parties.all()):
        names = ("named_by", "named_on", "question", "samples", "reported_on", "report")
        book.add("third_parties", party.name, {name: cell(party, name) for name in names})
    _add_settlement(book, row)


def _add_settlement(book: Book, row: Callback) -> None:
    for one in _standing(row.settlement.all()):
        book.add(
            "settlement",
            one.panels_text or ", ".join(one.panels),
            {
                "panels": words(list(one.panels)),
                "area": cell(one, "area", one.area_unit),
                "unit": words(one.area_unit),
                "price": words(str(one.unit_price)),
                "currency": words(one.currency or "not written down"),
                "parties": Cell([party for party, _ in one.share_percents]),
                "percents": Cell([str(percent) for _, percent in one.share_percents]),
                "agreed_on": cell(one, "agreed_on"),
            },
        )


def add_winter(book: Book, rows: Iterable[WinterEntry]) -> None:
    """Add the lines of the winter log."""
    for row in rows:
        parts = [row.spread_as or row.get_deicer_display()]
        if row.plowed == "yes":
            edge = f"{row.get_edge_display()} edge" if row.edge else ""
            shoes = {"yes": "shoes fitted", "no": "no shoes"}.get(row.shoes, "")
            parts.append(", ".join(filter(None, ("plow", edge, shoes))))
        what = ", ".join(filter(None, parts)) or "nothing named"
        kg = _amount(row)
        book.add(
            "winter",
            f"{row.done_on} {what}",
            {
                "on": day(row.done_on),
                "by": cell(row, "done_by"),
                "what": words(what),
                "where": words(row.panels_text or ", ".join(row.panels)),
                "panels": Cell(list(row.panels)),
                "makes_zone": Cell(does_reach(row)),
                "amount": number(kg, "kg", row.written("amount") or _bags(row)),
                "is_spread": Cell(bool(row.deicer or row.spread_as or row.sand_kg)),
                "source": words(", ".join(filter(None, (row.get_told_by_display(), row.note)))),
            },
        )


def _amount(row: WinterEntry) -> float | None:
    if row.deicer_kg is not None or row.sand_kg is not None:
        return (row.deicer_kg or 0.0) + (row.sand_kg or 0.0)
    if row.bags is not None and row.bag_kg is not None:
        return row.bags * row.bag_kg
    return None


def _bags(row: WinterEntry) -> str:
    return f"{row.bags:g} bags" if row.bags is not None else ""


def add_repairs(book: Book, rows: Iterable[Repair]) -> None:
    """Add repairs that came of the callback."""
    for row in rows:
        book.add(
            "repairs",
            row.number or str(row),
            {
                "method": label(row, "method"),
                "panels": words(row.panels_text or ", ".join(row.panels)),
                "out": cell(row, "out_on"),
                "in": cell(row, "in_on"),
                "state": label(row, "state"),
            },
        )


def add_recurrences(book: Book, rows: Iterable[Recurrence]) -> None:
    """Add what came back after a repair, against the warranty of that repair."""
    for one in rows:
        after = f", after repair {one.repair}" if one.repair is not None else ""
        book.add(
            "came_back",
            f"{one.link.defect} at the place of {one.link.other}{after}",
            {"compared": words(one.came.words)},
        )


def _standing(rows: Iterable) -> list:
    return [row for row in rows if row.void_at is None and row.double_of_id is None]
