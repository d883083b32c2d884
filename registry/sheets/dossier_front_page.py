"""The front sheet of a callback dossier, one page, its blocks in the order of the paper."""

from collections.abc import Sequence

from registry.sheets.box import BOX_HEIGHT_MM, BOX_WIDTH_MM, SheetError
from registry.sheets.dossier_front import NOT_KNOWN_LINES, FrontSheet
from registry.sheets.flowing import wrapped
from registry.sheets.footer import FOOTER_MM, draw_footer
from registry.sheets.header import HEADER_MM
from registry.sheets.ink import LINE_MM, THICK_MM, Ink, shortened, width_of
from registry.sheets.rows import MARGIN_MM, Row

_WIDTH = BOX_WIDTH_MM - 2 * MARGIN_MM
_STEP = 3.2
_HEADS = ("panel", "", "", "", "load", "lag", "w/cm", "sheet", "winter", "how far shown: cause")
_COLUMNS = (11.0, 10.0, 10.0, 10.0, 30.2, 8.7, 19.2, 10.6, 11.9, 57.4)
_LOAD = _HEADS.index("load")
_CLOCK_COLUMNS = (33.0, 27.0, 38.0, 81.0)
_CLAIM_LINES, _NUMBER_LINES, _CORE_LINES = 4, 8, 6
_SEEN_MM = 10.5
RAVELED = "raveled %"
FRONT_CAUTION = (
    "Lists evidence and computes; it does not say who is liable: contract and licensed practice "
    "decide. Coring, cutting, patching: silica dust, turning tools, wet cement, traffic: local "
    "codes first."
)
SEEN = "“Seen” by the other side (no agreement)"
MORE = "… more in the annexes"
MORE_IN_A = "… annex A"


class _Page:
    """Where the next line stands."""

    def __init__(self, ink: Ink) -> None:
        self.ink, self.at = ink, HEADER_MM

    def block(self, heading: str) -> None:
        """Begin a block: a rule, and its name in bold at the head of the first line."""
        self.ink.rule(self.at, BOX_WIDTH_MM, THICK_MM if heading else 0.25)
        self.at += 0.7

    def pairs(self, pairs: Sequence[tuple[str, str]], lead: str = "") -> None:
        """ "label words" a line each, as much of it as there is room for."""
        for nth, (label, words) in enumerate(pairs):
            self.at += _STEP
            x = MARGIN_MM
            if lead and nth == 0:
                x = self.ink.text(x, self.at - 0.5, lead, bold=True) + 2.0
            x = self.ink.text(x, self.at - 0.5, label) + 1.6
            room = MARGIN_MM + _WIDTH - x
            self.ink.text(x, self.at - 0.5, pointed(words, room, MORE, bold=True), bold=True)

    def lines(self, lines: Sequence[str], x: float, width: float, most: int) -> float:
        """Lines of words from the place reached, and their height; what is left over is said."""
        broken = [part for words in lines for part in wrapped(words, width)]
        if len(broken) > most:
            last = shortened(broken[most - 1], width - width_of(MORE) - 3)
            broken = [*broken[: most - 1], f"{last} {MORE}"]
        for nth, words in enumerate(broken):
            self.ink.text(x, self.at + (nth + 1) * _STEP - 0.5, words)
        return len(broken) * _STEP


def pointed(words: str, room: float, where: str, *, bold: bool = False) -> str:
    """Words where there is room for them, else as many whole ones as fit and where all stand."""
    kept = words.split(" ")
    while len(kept) > 1 and width_of(words, bold=bold) > room:
        kept.pop()
        words = f"{' '.join(kept).rstrip(',;:')} {where}"
    return shortened(words, room)


def draw_front(ink: Ink, front: FrontSheet, annexes: Sequence[tuple[str, str, str]]) -> None:
    """Draw everything below the head. annexes: letter, title and first page of each."""
    page = _Page(ink)
    page.block("parties")
    page.pairs(front.facts)
    page.at += 0.8
    _clocks(page, front)
    _terms(page, front)
    _findings(page, front)
    _numbers(page, front)
    _not_known(page, front)
    page.block("answer")
    page.pairs(front.answer, "ANSWER")
    page.at += 0.8
    _annexes(page, annexes)
    if page.at > BOX_HEIGHT_MM - FOOTER_MM - _SEEN_MM:
        raise SheetError("The front sheet of this dossier has no room for its blocks.")
    _seen(ink, front)
    draw_footer(ink)


def _clocks(page: _Page, front: FrontSheet) -> None:
    page.block("clocks")
    for what, due, done, rule in front.clocks:
        page.at += _STEP
        x = MARGIN_MM
        cells = (what, f"due {due}" if due else "", done, rule)
        for width, words in zip(_CLOCK_COLUMNS, cells, strict=True):
            page.ink.text_within(x, page.at - 0.5, words, width - 1.0, bold=words == what)
            x += width
    page.at += 0.8


def _terms(page: _Page, front: FrontSheet) -> None:
    page.block("terms")
    page.pairs(front.terms, "TERMS")
    page.at += 0.8
    page.block("claim")
    page.ink.text(MARGIN_MM, page.at + _STEP - 0.5, "CLAIM, in the owner’s words", bold=True)
    page.at += _STEP
    page.lines([front.claim or "none in writing"], MARGIN_MM, _WIDTH, _CLAIM_LINES)
    page.at += _CLAIM_LINES * _STEP + 0.8


def _findings(page: _Page, front: FrontSheet) -> None:
    page.block("finding")
    heads = list(_HEADS)
    subs = ["", *(day[2:7] for day in front.look_days), *[""] * (3 - len(front.look_days))]
    subs += ["", "min", "", "break", "zone", "by whom"]
    heads[1] = raveled_head(front.graded)
    for head in (heads, subs):
        _cells(page, head, bold=True)
    page.ink.rule(page.at + 0.4, BOX_WIDTH_MM)
    page.at += 0.6
    for row in front.findings:
        *cells, cause = row
        _cells(page, (*cells, pointed(cause, _COLUMNS[-1] - 1.0, MORE_IN_A)))
    if front.findings_left:
        words = f"… and {front.findings_left} more panels: annex A"
    elif not front.findings:
        words = "No panel is claimed by name, and none has a finding."
    else:
        words = ""
    if words:
        page.at += _STEP
        page.ink.text(MARGIN_MM, page.at - 0.5, words)
    page.at += 0.8


def _cells(page: _Page, cells: Sequence[str], *, bold: bool = False) -> None:
    x = MARGIN_MM
    page.at += _STEP
    for nth, (words, width) in enumerate(zip(cells, _COLUMNS, strict=True)):
        page.ink.text_within(x, page.at - 0.5, words, room_mm(cells, nth), bold=bold or nth == 0)
        x += width


def raveled_head(graded: str) -> str:
    """ "raveled %, photo": the head over the three looks, in the words that have room there."""
    short = graded.removeprefix("on ").removeprefix("by ")
    return ", ".join(filter(None, (RAVELED, short)))


def room_mm(cells: Sequence[str], nth: int) -> float:
    """Room of a cell of a finding: of the head over the looks that of all three.

    What stands in the place of the loads has the room of lag and w/cm, which are empty then.
    """
    is_alone = nth == _LOAD and not any(cells[_LOAD + 1 : _LOAD + 3])
    count = 3 if is_alone or cells[nth].startswith(RAVELED) else 1
    return sum(_COLUMNS[nth : nth + count]) - 1.0


def _numbers(page: _Page, front: FrontSheet) -> None:
    page.block("numbers")
    x = page.ink.text(MARGIN_MM, page.at + _STEP - 0.5, "NUMBERS", bold=True) + 2.0
    page.at += page.lines(front.numbers, x, _WIDTH + MARGIN_MM - x, _NUMBER_LINES)
    page.at += 0.8
    page.block("")
    x = page.ink.text(MARGIN_MM, page.at + _STEP - 0.5, "CORES", bold=True) + 2.0
    room = _WIDTH + MARGIN_MM - x
    cores = [shortened(words, room) for words in front.cores] or ["none taken"]
    page.at += page.lines(cores, x, room, _CORE_LINES) + 0.8


def _not_known(page: _Page, front: FrontSheet) -> None:
    page.block("not known")
    x = page.ink.text(MARGIN_MM, page.at + _STEP - 0.5, "NOT KNOWN", bold=True) + 2.0
    words = front.not_known or ("nothing is named",)
    page.lines(words, x, _WIDTH + MARGIN_MM - x, NOT_KNOWN_LINES)
    page.at += NOT_KNOWN_LINES * _STEP + 0.8


def _annexes(page: _Page, annexes: Sequence[tuple[str, str, str]]) -> None:
    page.block("annexes")
    listed = "; ".join(f"{letter} {title} {pages}" for letter, title, pages in annexes)
    for words in (f"ANNEXES, pages: {listed}", FRONT_CAUTION):
        for line in wrapped(words, _WIDTH):
            page.at += LINE_MM
            page.ink.text(MARGIN_MM, page.at - 0.5, line)
    page.at += 0.6


def _seen(ink: Ink, front: FrontSheet) -> None:
    y = BOX_HEIGHT_MM - FOOTER_MM - _SEEN_MM
    ink.rule(y, BOX_WIDTH_MM, THICK_MM)
    ink.text_within(MARGIN_MM, y + 3.8, front.prepared, _WIDTH)
    row = Row(ink, 0, y + 3.0, BOX_WIDTH_MM)
    row.word(SEEN).pen(60).word("on").pen_to_end()
