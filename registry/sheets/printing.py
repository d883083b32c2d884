"""From a content to a finished PDF, and to what the record keeps of it."""

from registry.sheets.box import paper_named
from registry.sheets.contents import (
    Content,
    CoverContent,
    DayContent,
    DrawnSheet,
    HandOverContent,
    InspectionContent,
    LoadContent,
    SheetMark,
    SweepContent,
    digest_of,
)
from registry.sheets.cover_card import draw_cover_card
from registry.sheets.day import draw_day
from registry.sheets.hand_over import draw_hand_over
from registry.sheets.infiltration import draw_infiltration
from registry.sheets.inspection import draw_inspection
from registry.sheets.load_sheet import draw_load_sheet
from registry.sheets.sweep import draw_sweep


def draw_sheet(content: Content, *, number: str, public_url: str, paper: str) -> DrawnSheet:
    """Draw a sheet under its number. The dots hold `public_url`/sheets/`number`/open/."""
    mark = SheetMark(number, f"{public_url}/sheets/{number}/open/")
    if isinstance(content, InspectionContent):
        return draw_inspection(content, mark, paper_named(paper))
    if isinstance(content, SweepContent):
        return draw_sweep(content, mark, paper_named(paper))
    if isinstance(content, DayContent):
        return draw_day(content, mark, paper_named(paper), public_url)
    if isinstance(content, LoadContent):
        return draw_load_sheet(content, mark, paper_named(paper))
    if isinstance(content, CoverContent):
        return draw_cover_card(content, mark, paper_named(paper))
    if isinstance(content, HandOverContent):
        return draw_hand_over(content, mark, paper_named(paper))
    return draw_infiltration(content, mark, paper_named(paper))


def kept_of(content: Content) -> dict[str, object]:
    """What the record keeps of a print: its words as printed, and a digest of all of it."""
    heading = content.heading
    kept: dict[str, object] = {
        "digest": digest_of(content),
        "pavement": heading.pavement,
        "street": heading.street,
        "own_number": heading.own_number,
        "other_numbers": list(heading.other_numbers),
        "plan_number": heading.plan_number,
    }
    if isinstance(content, SweepContent):
        return kept | {"order": content.order.number, "method": content.order.method}
    if isinstance(content, DayContent):
        return {"digest": kept["digest"], "on": content.on, "stops": _kept_stops(content)}
    if isinstance(content, LoadContent | CoverContent):
        of_day: dict[str, object] = {"on": content.on, "placing_day": content.day_id}
        if isinstance(content, CoverContent):
            of_day["covers"] = [strip.cover_id for strip in content.strips]
        return kept | (of_day if content.day_id else {})
    if isinstance(content, HandOverContent):
        return kept | ({"hand_over": content.row_id} if content.row_id else {})
    kept["spots"] = [[spot.name, spot.place, spot.stratum] for spot in content.spots]
    if isinstance(content, InspectionContent):
        kept["known"] = [
            [defect.number, defect.place, defect.kind, defect.last_seen, defect.row_id]
            for defect in content.known
        ]
    return kept


def _kept_stops(content: DayContent) -> list[list[object]]:
    return [
        [stop.number, stop.kind, stop.order or stop.name, stop.begins] for stop in content.stops
    ]
