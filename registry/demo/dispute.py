"""The dispute over the north lot, day by day: tables 1G, 1H, 1J, 1K, 1L and 1M under CB-5.

Its mess is kept as written: a finding four days late, a driver against an invoice, an undated
photo, a remedy date outside of the placing season.
"""

import re
from datetime import date

from registry.actions.add_entries import add_entries
from registry.actions.add_entry import add_entry
from registry.actions.move_signed import move_signed
from registry.demo.callbacks import ARRIVED, confirm_for_owner, plain
from registry.demo.people import CONTRACTOR, EVALUATOR, MANAGER, Author, Cast
from registry.demo.placing import us
from registry.demo.replaced import replace_panels
from registry.demo.tables import Line, clock, day, number, read_table
from registry.models import (
    AgreedDate,
    Callback,
    CallbackAnswer,
    CallbackAttachment,
    CallbackNote,
    Core,
    InfiltrationTest,
    PanelEvidence,
    PanelFinding,
    Photo,
    SettlementLine,
    Step,
    ThirdParty,
    WinterEntry,
)
from registry.units import Kind

CLAIMED = [f"C{n}" for n in range(4, 12)] + [f"D{n}" for n in range(7, 12)] + ["B11"]
ACCEPTED = [f"C{n}" for n in range(5, 12)]
DECLINED = [f"D{n}" for n in range(7, 12)] + ["B11"]
CLAUSES = "deicer in the first winter; steel edge without shoes"
MOVES = (
    ("acknowledged", "2024-05-02", CONTRACTOR),
    ("visit_set", "2024-05-02", CONTRACTOR),
    ("visited", "2024-05-14", CONTRACTOR),
    ("finding_issued", "2024-06-17", CONTRACTOR),
    ("accepted_in_part", "2024-06-17", CONTRACTOR),
    ("disputed", "2024-07-09", MANAGER),
    ("evaluator_named", "2024-07-26", MANAGER),
    ("reported", "2024-09-12", EVALUATOR),
    ("settlement_offered", "2024-10-02", CONTRACTOR),
    ("settled", "2024-10-02", MANAGER),
    ("remedy_dated", "2024-10-02", CONTRACTOR),
    ("remedy_done", "2025-05-14", CONTRACTOR),
    ("closed", "2025-06-06", CONTRACTOR),
)
NOTE_KINDS = {
    "notice arrives": "letter_in",
    "acknowledged": "letter_out",
    "owner disputes": "reply",
}
CAUSES_OF_CORES: dict[str, tuple[str, ...]] = {
    "K2": ("covered_late",),
    "K3": ("covered_late",),
    "K4": ("covered_late", "salt_frost"),
    "K5": ("salt_frost", "plow"),
}
CLOSED_BELOW = ("K6",)
"""Cores of which table 1K says that paste closes the voids at the bottom."""
INSIDE = "Kept inside: we would go to 40 % on lane D before we let it come to a court."
NOT_KNOWN = (
    "no check of the cover is written down for 2023-08-26\n"
    "photo P-3702 is undated; the owner says January 2024\n"
    "the driver says sand alone on 2024-01-27, the invoice says mix"
)


def record_dispute(cast: Cast, row: Callback) -> None:
    """Store all that belongs to CB-5 and move it to its end."""
    author = cast.as_author(CONTRACTOR)
    _fill_claim(row)
    winter = add_entries(_winter(row), **cast.as_author(MANAGER))
    _note_events(row, author)
    add_entries(_findings(row), **author)
    add_entries(_evidence(row), **author)
    add_entry(_answer(row), **author)
    _move(row, cast, upto="evaluator_named")
    cores = add_entries(_cores(row), **cast.as_author(EVALUATOR))
    add_entries(_found_in_cores(row), **cast.as_author(EVALUATOR))
    add_entry(_evaluator(row, cast), **author)
    _move(row, cast, upto="reported", after="evaluator_named")
    add_entries(_settlement(row), **author)
    signed = AgreedDate(
        callback=row,
        step=Step.REMEDY,
        due_on=date(2025, 6, 30),
        signed_on=date(2024, 10, 2),
        because="placing season over",
    )
    add_entry(signed, **author)
    confirm_for_owner(signed)
    replace_panels(row, author)
    _move(row, cast, upto="closed", after="reported")
    _attach(row, cores, winter, author)


def _fill_claim(row: Callback) -> None:
    """What of the notice table 1I and 1J tell; its wording is not in them."""
    row.panels, row.panels_text = CLAIMED, "C4-C11, D7-D11, B11"
    row.discovered_on = date(2024, 4, 18)
    row.claimed_by = "owner's manager"
    row.as_received = f"{row.claim}: {row.extent}."
    row.clauses_argued = CLAUSES
    row.not_known = NOT_KNOWN
    row.save(
        update_fields=["panels", "panels_text", "discovered_on", "claimed_by", "as_received",
                       "clauses_argued", "not_known"]
    )  # fmt: skip


def _move(row: Callback, cast: Cast, *, upto: str, after: str = "") -> None:
    states = [state for state, _, _ in MOVES]
    first = states.index(after) + 1 if after else 0
    for state, on, name in MOVES[first : states.index(upto) + 1]:
        author = cast.as_author(name)
        signed = str(author["by"] or name)
        move_signed(row, to_state=state, on=date.fromisoformat(on), signed_by=signed, **author)


def _note_events(row: Callback, author: Author) -> None:
    """Store each line of table 1J, and one note that stays inside."""
    notes = []
    for line in read_table("1J_dispute_timeline"):
        told = (line["event"], line["limit that applied"], line["date that follows"],
                plain(line["result"]))  # fmt: skip
        on = day(line["date"])
        kind = next((k for begin, k in NOTE_KINDS.items() if line["event"].startswith(begin)), "")
        notes.append(
            CallbackNote(
                callback=row,
                kind=kind or "event",
                happened_on=on,
                happened_at=clock(on, ARRIVED) if kind == "letter_in" else None,
                text="; ".join(filter(None, told)),
                as_written={"happened_on": line["date"]},
            )
        )
    notes.append(
        CallbackNote(
            callback=row,
            kind="inside",
            happened_on=date(2024, 7, 10),
            who="J. Hollin",
            text=INSIDE,
            inside_of=author["organisation"],
            note="Invented.",
        )
    )
    add_entries(notes, **author)


def _findings(row: Callback) -> list[PanelFinding]:
    shared = {"found_by": "J. Hollin", "found_on": date(2024, 6, 17)}
    found = [
        PanelFinding(
            callback=row, panel=panel, cause="covered_late", confidence="shown",
            speaks_for="follows loads 7 to 9, bare 37 to 52 min after discharge; at 6 weeks",
            **shared,
        )
        for panel in ACCEPTED
    ]  # fmt: skip
    found += [
        PanelFinding(
            callback=row, panel=panel, cause="salt_frost", confidence="likely",
            speaks_for="not there at 6 weeks; grew over the winter, at the entrance", **shared,
        )
        for panel in DECLINED
    ]  # fmt: skip
    return found


def _evidence(row: Callback) -> list[PanelEvidence]:
    """Return what table 1D marks as in or out of the plow or salt zone, for the panels claimed."""
    zone = {line["panel"]: line["plow or salt zone"] == "yes" for line in read_table("1D_panels")}
    return [
        PanelEvidence(
            callback=row,
            panel=panel,
            sign="at_entrance",
            is_there=zone[panel],
            words="in the plow or salt zone" if zone[panel] else "outside of it",
            said_by="J. Hollin",
        )
        for panel in CLAIMED
    ]


def _answer(row: Callback) -> CallbackAnswer:
    return CallbackAnswer(
        callback=row,
        kind="accepted_in_part",
        answered_on=date(2024, 6, 17),
        accepted_panels=ACCEPTED,
        accepted_text="C5-C11",
        declined=[[panel, CLAUSES] for panel in DECLINED],
        remedy="panels replaced",
        may_dispute_by=date(2024, 7, 16),
        text="finding issued: C5-C11 accepted, D7-D11 and B11 declined",
        signed_by="J. Hollin",
    )


def _cores(row: Callback) -> list[Core]:
    return [_core(row, line) for line in read_table("1K_cores")]


def _core(row: Callback, line: Line) -> Core:
    length, density = line["length in"], line["density lb/ft³"]
    chloride = line["chloride, % by mass of concrete"]
    return Core(
        pavement=row.pavement,
        callback=row,
        number=line["core"],
        panel=line["panel"],
        taken_on=date(2024, 8, 20),
        surface=line["surface"],
        length_mm=us(float(length), Kind.SMALL_LENGTH),
        density_kg_m3=us(float(density), Kind.DENSITY),
        chloride_percent=number(chloride),
        bottom_closed="yes" if line["core"] in CLOSED_BELOW else "",
        seen=line["seen in core"],
        cause="" if line["evaluator's cause"] == "-" else line["evaluator's cause"],
        cause_by=EVALUATOR,
        as_written={
            "length_mm": f"{length} in",
            "density_kg_m3": f"{density} lb/ft³",
            "chloride_percent": chloride,
        },
    )


def _found_in_cores(row: Callback) -> list[PanelFinding]:
    found = []
    for line in read_table("1K_cores"):
        causes = CAUSES_OF_CORES.get(line["core"], ())
        found += [
            PanelFinding(
                callback=row,
                panel=line["panel"],
                cause=cause,
                confidence="shown",
                came_first=len(causes) > 1 and nth == 0 and line["core"] == "K4",
                speaks_for=f"core {line['core']}: {line['seen in core']}",
                found_by=EVALUATOR,
                found_on=date(2024, 9, 12),
            )
            for nth, cause in enumerate(causes)
        ]
    return found


def _evaluator(row: Callback, cast: Cast) -> ThirdParty:
    return ThirdParty(
        callback=row,
        organisation=cast[EVALUATOR],
        name=EVALUATOR,
        named_by="both sides",
        named_on=date(2024, 7, 26),
        samples="6 cores taken 2024-08-20",
        reported_on=date(2024, 9, 12),
        report="supports contractor on D8-D11, owner on C4 (low, watch)",
        note="The name of the evaluator is invented.",
    )


def _winter(row: Callback) -> list[WinterEntry]:
    found = [_line_of_log(row, line) for line in read_table("1H_winter_log")]
    mix = next(one for one in found if one.spread_as == "sand-salt mix")
    # Driver and invoice disagree: both stand, and neither is chosen.
    found.append(
        WinterEntry(
            pavement=row.pavement,
            done_on=mix.done_on,
            done_by=mix.done_by,
            spread_as="sand only",
            sand_kg=us(300.0, Kind.MASS),
            is_about=True,
            panels_text=mix.panels_text,
            told_by="driver",
            note='driver says "sand only"',
            as_written={"amount": "about 300 lb"},
        )
    )
    return found


def _line_of_log(row: Callback, line: Line) -> WinterEntry:
    what, source = line["what"], line["source"]
    entry = WinterEntry(
        pavement=row.pavement,
        done_on=date.fromisoformat(line["date"]),
        done_by=line["by"],
        panels_text=line["where"],
        told_by="slip" if "slip" in source else "invoice",
        obtained_on=date(2024, 7, 19),
        note=source,
        as_written={"what": what, "amount": line["amount"]},
    )
    if what.startswith("plow"):
        entry.plowed = "yes"
        entry.edge = "steel" if "steel" in what else ""
        entry.shoes = "yes" if "shoes fitted" in what else "no"
    else:
        entry.spread_as, entry.deicer = what, "sodium"
    bags = re.match(r"([\d.]+) bags? \((\d+) lb\)", line["amount"])
    if bags is not None:
        entry.bags = float(bags[1])
        entry.bag_kg = us(float(bags[2]) / entry.bags, Kind.MASS)
        entry.deicer_kg = us(float(bags[2]), Kind.MASS)
    if "lanes C-D 96-132" in line["where"]:
        entry.panels = [f"{lane}{n}" for lane in "CD" for n in range(9, 12)]
    elif line["where"].startswith("lane D"):
        entry.panels = [f"D{n}" for n in range(1, 12)]
    entry.is_about = line["amount"].startswith("about")
    return entry


def _settlement(row: Callback) -> list[SettlementLine]:
    found = []
    for line in read_table("1L_settlement"):
        ours = int(line["contractor %"])
        found.append(
            SettlementLine(
                callback=row,
                panels=_named(line["panels"]),
                panels_text=line["panels"],
                area=float(line["area ft²"]),
                area_unit="ft2",
                currency="$",
                unit_price=line["price $/ft²"],
                share_percents=[["contractor", str(ours)], ["owner", str(100 - ours)]],
                agreed_on=date(2024, 10, 2),
            )
        )
    return found


def _named(text: str) -> list[str]:
    """Return the panels of "C5-C11" and of "D7, B11, C4"."""
    span = re.fullmatch(r"([A-D])(\d+)-[A-D](\d+)", text)
    if span is None:
        return text.split(", ")
    return [f"{span[1]}{n}" for n in range(int(span[2]), int(span[3]) + 1)]


def _attach(row: Callback, cores: list[Core], winter: list[WinterEntry], author: Author) -> None:
    """Attach what the dispute rests on, so that both sides keep it in sight."""
    things: list[dict[str, object]] = [{"core": core} for core in cores]
    things += [{"winter_entry": entry} for entry in winter]
    numbers = [f"A-{n}" for n in (23, 24, 25, 26, 27, 28, 37, 38, 39, 40)]
    tests = InfiltrationTest.objects.filter(pavement=row.pavement, number__in=numbers)
    things += [{"infiltration_test": test} for test in tests.order_by("number")]
    photos = Photo.objects.filter(pavement=row.pavement, number__startswith="P-3")
    things += [{"photo": photo} for photo in photos.order_by("number")]
    rows = [CallbackAttachment(callback=row, **thing) for thing in things]
    add_entries(rows, **author)
