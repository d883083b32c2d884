"""A hand-over certificate put into words, for its page and its sheet."""

from datetime import date
from zoneinfo import ZoneInfo

from registry.models import HandOver, Pavement
from registry.placing.hand_over_moves import HAND_OVER
from registry.sheets.box import SheetError
from registry.sheets.contents import HandOverContent, Heading
from registry.units import Kind, show

TITLE = "HAND-OVER CERTIFICATE"
OPEN = "not filled in"
PEN = " "
"""Words of a line that is written in by pen."""
HANDED_OVER = (
    "as-built plan", "load record", "curing log", "acceptance tests", "all infiltration tests",
    "inspections", "defects open", "cleanings", "winter log", "photos", "permit and agreement",
)  # fmt: skip
"""Kinds of paper, in the order of the certificate."""
WALKED = "taker walked it, plan in hand"
SIGHT = "The giver’s right to write ends at the effective hour; it keeps a copy of its own period."


def hand_over_content(row: HandOver, heading: Heading) -> HandOverContent:
    """Return what a certificate says, as it was drawn up."""
    local = row.effective_at.astimezone(ZoneInfo(row.pavement.site.time_zone))
    warranty = row.warranty_then
    days = [(f"last day, {name}", day) for name, day in warranty.get("last_days", [])]
    signed = [
        (move.to_word, f"{move.on}, {move.signed_by or move.by or ''}")
        for move in row.moves.all()
        if move.to_state in ("giver", "taker")
    ]
    return HandOverContent(
        heading=heading,
        facts=(
            ("from", f"{row.giver}, {row.giver_name}".strip(", ")),
            ("to", f"{row.taker}, {row.taker_name}".strip(", ")),
            ("effective", f"{local:%Y-%m-%d %H:%M}"),
            ("by", row.by_deed or OPEN),
            ("state", f"{HAND_OVER.label(row.state)}; {_gathered(row, local.date())}"),
        ),
        lines=tuple((what, mark, words) for what, mark, words in row.lines),
        state=_state(row, heading),
        opens=tuple((what, becomes or "not said") for what, becomes in row.open_things),
        warranty=(
            ("warranty", warranty.get("number", "none on record")),
            ("start", warranty.get("start", OPEN)),
            *days,
            ("on a sale", warranty.get("transfer", OPEN)),
            ("excluded", "; ".join(warranty.get("exclusions", [])) or "nothing written"),
        ),
        care=(
            ("duties", row.care_duties or OPEN),
            ("next statement signed by", row.statement_signed_by or OPEN),
        ),
        not_known=tuple(line for line in row.not_known.splitlines() if line.strip()),
        copies=row.copies or OPEN,
        walked=str(row.get_taker_walked_display() or ""),
        signed=tuple(signed),
        is_first=row.is_first,
        row_id=row.pk,
    )


def _gathered(row: HandOver, effective: date) -> str:
    """The day the lines were gathered; readings since the effective day are among them."""
    on = row.entered_at.astimezone(ZoneInfo(row.pavement.site.time_zone)).date()
    later = ", entries after the effective day included" if on > effective else ""
    return f"gathered from the record on {on}{later}"


def blank_hand_over(heading: Heading) -> HandOverContent:
    """Return a certificate with nothing written in: a line to write on behind each label."""
    return HandOverContent(
        heading=heading,
        facts=_open("from: name, role", "to: name, role", "effective date, hour", "by deed no."),
        lines=tuple((what, "y  n  not", PEN) for what in HANDED_OVER),
        state=_open("condition", "lowest rate", "action level", "lips over 1/4 in (6 mm)"),
        opens=_open("1", "2", "3"),
        warranty=_open("start", "last day", "parts, last days", "on a sale", "excluded"),
        care=_open("duties", "next statement signed by"),
        not_known=(PEN,) * 4,
        walked=PEN,
        is_first=True,
    )


def _open(*labels: str) -> tuple[tuple[str, str], ...]:
    return tuple((label, PEN) for label in labels)


def certificate_to_print(pavement: Pavement) -> HandOver:
    """Return the newest certificate of a pavement. Raises SheetError where none is drawn up."""
    rows = pavement.hand_overs.standing().select_related("giver", "taker")
    found = rows.order_by("-effective_at", "-pk").first()
    if found is None:
        raise SheetError(
            "No hand-over certificate is drawn up for this pavement. Draw it up first, or print "
            "it blank."
        )
    found.pavement = pavement
    return found


def _state(row: HandOver, heading: Heading) -> tuple[tuple[str, str], ...]:
    then = row.state_then
    low, level = then.get("lowest_mm_h"), then.get("action_rate_mm_h")
    lowest, asked = "no usable test", "not decided"
    if low is not None:
        rate = show(low, Kind.RATE, heading.system, sign=then.get("lowest_sign", ""))
        lowest = f"{rate} at {then.get('lowest_spot')}, {then.get('lowest_on')}"
    if level is not None:
        asked = show(level, Kind.RATE, heading.system, digits=1)
    return (
        ("condition", str(then.get("word", "not decided"))),
        ("lowest rate", lowest),
        ("action level", asked),
        ("lips over 1/4 in (6 mm)", str(then.get("lips") or "none on record")),
    )
