"""What the XML of one sheet tells before anything reads its values: cells that hold no plain value.

A reader of values gives the stored result of a formula, nothing at all for an error, and 0.5 for
a cell that shows 50 %. It also passes over what a person does not see: hidden rows and columns.
"""

import re
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from html import unescape
from itertools import islice

from registry.exchange.problems import Problem, refuse

LAST_ROW = 500_000
LISTED = 50
SECONDS = dict.fromkeys(("seconds", "prewet_seconds"), ("s", "sec", "seconds"))
PERCENT_FORMATS = frozenset({b"9", b"10"})
"""The two built-in number formats with a percent sign (ECMA-376 part 1, 18.8.30)."""

_CELL = rb"<(?:\w+:)?c(?=[\s/>])"
_FILLED = rb"[^>]*(?<!/)>\s*<(?!/)"
_NO_PLACE = re.compile(_CELL + rb"(?![^>]*\sr=[\"'])")
_FAR_RIGHT = re.compile(_CELL + rb"[^>]*\sr=[\"']([A-Z]{2,}\d+)[\"']" + _FILLED)
_FAR_DOWN = re.compile(_CELL + rb"[^>]*\sr=[\"'][A-Z]{0,3}(\d{6,})[\"']" + _FILLED)
_NO_TEXT = re.compile(_CELL + rb"[^>]*\st=[\"']s[\"'][^>]*(?<!/)>\s*<(?:\w+:)?v>(?!\s*\d+\s*<)")
_FORMULA = re.compile(
    _CELL
    + rb"[^>]*\sr=[\"']([A-Z]+)(\d+)[\"'][^>]*(?<!/)>(?:(?!</(?:\w+:)?c>).)*?<(?:\w+:)?f[\s/>]",
    re.DOTALL,
)
_ANY_FORMULA = re.compile(rb"<(?:\w+:)?f[\s/>]")
_ERROR = re.compile(_CELL + rb"[^>]*\st=[\"']e[\"'][^>]*(?<!/)>\s*<(?:\w+:)?v>([^<]*)")
_STYLE_OF = re.compile(rb"\ss=[\"'](\d+)[\"']")
_ADDED = re.compile(r"\"([^\"]*)\"|\\(.)|\[[^\]]*\]|_.|\*.")
_OF_TIME = re.compile(r"[ymdhs]", re.IGNORECASE)
_PLACE = re.compile(rb"\sr=[\"']([A-Z]+)(\d+)[\"']")
_NOT_A_NUMBER = re.compile(rb"\st=[\"'](?!n[\"'])")
_HIDDEN = rb"[^>]*\s(?:hidden=[\"'](?:1|true)[\"']|(?:ht|width)=[\"']0(?:\.0*)?[\"'])"
_HIDDEN_ROW = re.compile(rb"<(?:\w+:)?row(?=\s)" + _HIDDEN + rb"[^>]*(?<!/)>")
_ROW_ENDS = re.compile(rb"</(?:\w+:)?row>")
_ROW_NUMBER = re.compile(rb"\sr=[\"'](\d+)[\"']")
_VALUE = re.compile(rb"<(?:\w+:)?(?:v|is)[\s>]")
_HIDDEN_COLUMN = re.compile(rb"<(?:\w+:)?col(?=\s)" + _HIDDEN + rb"[^>]*>")
_FROM_TO = re.compile(rb"\s(min|max)=[\"'](\d+)[\"']")
_FORMAT = re.compile(rb"<(?:\w+:)?numFmt\s[^>]*>")
_FORMAT_ID = re.compile(rb"\snumFmtId=[\"'](\d+)[\"']")
_FORMAT_CODE = re.compile(rb"\sformatCode=\"([^\"]*)\"|\sformatCode='([^']*)'")
_LITERAL = re.compile(rb"&quot;.*?&quot;|\"[^\"]*\"|\\.")
_CELL_STYLES = re.compile(rb"<(?:\w+:)?cellXfs[\s>](.*?)</(?:\w+:)?cellXfs>", re.DOTALL)
_STYLE = re.compile(rb"<(?:\w+:)?xf(?=[\s/>])[^>]*>")
_FONTS = re.compile(rb"<(?:\w+:)?fonts[\s>](.*?)</(?:\w+:)?fonts>", re.DOTALL)
_FONT = re.compile(rb"<(?:\w+:)?font(?:\s*/>|[\s>].*?</(?:\w+:)?font>)", re.DOTALL)
_FONT_ID = re.compile(rb"\sfontId=[\"'](\d+)[\"']")
_STRUCK = re.compile(rb"<(?:\w+:)?strike(?![^>]*\sval=[\"'](?:0|false)[\"'])[\s/>]")
_SCALED = re.compile(r"[0#?],+(?![0#?,])")
IN_THOUSANDS, AS_NOTHING = "in thousands", "as nothing"
TELLING = frozenset("<>~≈±?")
"""Signs beside a number that say something else of it than the number alone."""

STRUCK = "Delete what does not count, and take the line off what does."

Place = tuple[str, int]
"""Letter of the column and number of the row; ("", 0) where the cell does not say."""


@dataclass(frozen=True)
class SheetLook:
    """What stands against the values of a sheet, and what of it nobody sees.

    formulas, errors, percents  the first LISTED cells of each kind; errors with what they show
    worded                      numbers shown with words of their format, and the words
    struck                      the first LISTED filled cells that are struck out
    hidden_rows                 numbers of hidden rows that hold anything
    hidden_columns              (first, last) of each span of hidden columns, from 1
    """

    formulas: Sequence[Place] = ()
    errors: Sequence[tuple[str, int, str]] = ()
    percents: Sequence[Place] = ()
    worded: Sequence[tuple[str, int, str]] = ()
    struck: Sequence[Place] = ()
    hidden_rows: Sequence[int] = ()
    hidden_columns: Sequence[tuple[int, int]] = ()


@dataclass(frozen=True)
class Styles:
    """The numbers of the cell styles that show something else than the number that is held.

    percents  a hundred times as much, with %
    worded    with words behind or before it, such as a unit: style -> the words
    struck    struck out, as people mark what does not count
    """

    percents: frozenset[bytes] = frozenset()
    worded: Mapping[bytes, str] = field(default_factory=dict)
    struck: frozenset[bytes] = frozenset()


def styles_of(xml: bytes) -> Styles:
    """Return the styles of a workbook that a reader of values has to know of."""
    percents, words = set(PERCENT_FORMATS), {}
    for told in _FORMAT.findall(xml):
        code, number = _FORMAT_CODE.search(told), _FORMAT_ID.search(told)
        if code and number:
            text = code[1] or code[2] or b""
            if b"%" in _LITERAL.sub(b"", text):
                percents.add(number[1])
            words[number[1]] = _words_of(text)
    cells = _CELL_STYLES.search(xml)
    styles = _STYLE.findall(cells[1] if cells else b"")
    formats = [_FORMAT_ID.search(style) for style in styles]
    by_style = {str(n).encode(): told[1] for n, told in enumerate(formats) if told}
    return Styles(
        frozenset(style for style, number in by_style.items() if number in percents),
        {style: words[number] for style, number in by_style.items() if words.get(number)},
        _struck_styles(xml, styles),
    )


def _struck_styles(xml: bytes, styles: Sequence[bytes]) -> frozenset[bytes]:
    fonts = _FONTS.search(xml)
    told = _FONT.findall(fonts[1] if fonts else b"")
    struck = {str(n).encode() for n, font in enumerate(told) if _STRUCK.search(font)}
    found = [_FONT_ID.search(style) for style in styles]
    return frozenset(str(n).encode() for n, f in enumerate(found) if f and f[1] in struck)


def _words_of(code: bytes) -> str:
    """Return what a format of numbers adds in words; nothing for one of days and times."""
    first, *others = unescape(code.decode("utf-8", "replace")).split(";")
    if others and not first.strip():
        return AS_NOTHING
    if _SCALED.search(_ADDED.sub("", first)):
        return IN_THOUSANDS
    if _OF_TIME.search(_ADDED.sub("", first)):
        return ""
    added = "".join(quoted or escaped for quoted, escaped in _ADDED.findall(first)).strip()
    return added if any(sign.isalpha() or sign in TELLING for sign in added) else ""


def look_at(xml: bytes, styles: Styles, file: str) -> SheetLook:
    """Return what there is to say of a sheet.

    xml  the whole part

    Raises SpreadsheetRefused where its values may not be read at all.
    """
    _check_ground(xml, file)
    return SheetLook(
        formulas=_formulas(xml) if _ANY_FORMULA.search(xml) else [],
        errors=list(islice(_errors(xml), LISTED)),
        percents=[_place(cell) for cell in islice(_numbers(xml, styles.percents), LISTED)],
        worded=list(islice(_worded(xml, styles.worded), LISTED)),
        struck=[_place(cell) for cell in islice(_of_styles(xml, styles.struck), LISTED)],
        hidden_rows=list(_hidden_rows(xml)),
        hidden_columns=list(_hidden_columns(xml)),
    )


def _check_ground(xml: bytes, file: str) -> None:
    if _NO_PLACE.search(xml):
        refuse(
            file, "The workbook does not say where its cells are.", "Save it once more as .xlsx."
        )
    if _NO_TEXT.search(xml):
        refuse(file, "The workbook is damaged: a cell has no text.", "Save it once more as .xlsx.")
    if far := _FAR_RIGHT.search(xml):
        refuse(
            file,
            f"Cell {far[1].decode()} lies beyond column Z.",
            "Delete the columns right of the table, or bring it in as CSV.",
        )
    down = max((int(row) for row in _FAR_DOWN.findall(xml)), default=0)
    if down > LAST_ROW:
        refuse(
            file,
            f"A cell in row {down} lies beyond row {LAST_ROW}.",
            "Delete the rows below the table, or bring it in in parts.",
        )


def _formulas(xml: bytes) -> list[Place]:
    found = islice(_FORMULA.finditer(xml), LISTED)
    cells = [(cell[1].decode(), int(cell[2])) for cell in found]
    return cells or [("", 0)]


def _errors(xml: bytes) -> Iterator[tuple[str, int, str]]:
    for cell in _ERROR.finditer(xml):
        yield *_place(cell[0]), cell[1].decode("utf-8", "replace").strip()


def _numbers(xml: bytes, styles: Collection[bytes]) -> Iterator[bytes]:
    """Yield the opening of each filled cell of some styles that holds a number."""
    return (cell for cell in _of_styles(xml, styles) if not _NOT_A_NUMBER.search(cell))


def _of_styles(xml: bytes, styles: Collection[bytes]) -> Iterator[bytes]:
    """Yield the opening of each filled cell of some styles."""
    if styles:
        one_of = rb"[^>]*\ss=[\"'](?:" + b"|".join(styles) + rb")[\"']"
        for cell in re.finditer(_CELL + one_of + _FILLED, xml):
            yield cell[0]


def _worded(xml: bytes, styles: Mapping[bytes, str]) -> Iterator[tuple[str, int, str]]:
    for cell in _numbers(xml, styles):
        style = _STYLE_OF.search(cell)
        if style:
            yield *_place(cell), styles[style[1]]


def _place(cell: bytes) -> Place:
    told = _PLACE.search(cell)
    return (told[1].decode(), int(told[2])) if told else ("", 0)


def _hidden_rows(xml: bytes) -> Iterator[int]:
    for row in _HIDDEN_ROW.finditer(xml):
        ends = _ROW_ENDS.search(xml, row.end())
        number = _ROW_NUMBER.search(row[0])
        if number and _VALUE.search(xml, row.end(), ends.start() if ends else len(xml)):
            yield int(number[1])


def _hidden_columns(xml: bytes) -> Iterator[tuple[int, int]]:
    for column in _HIDDEN_COLUMN.findall(xml):
        span = dict(_FROM_TO.findall(column))
        if b"min" in span and b"max" in span:
            yield int(span[b"min"]), int(span[b"max"])


def unread_cells(file: str, look: SheetLook, header: Sequence[str]) -> list[Problem]:
    """Return the cells that hold no plain value, each with its row and the header above."""
    return [*_formula_faults(file, look, header), *_value_faults(file, look, header)]


def _formula_faults(file: str, look: SheetLook, header: Sequence[str]) -> Iterator[Problem]:
    for letter, row in look.formulas:
        cell = f"Cell {letter}{row}" if row else "A cell"
        yield Problem(
            file,
            row or None,
            name_of(letter, header),
            f"{cell} holds a formula; only values are read.",
            "Copy the sheet and paste it as values.",
        )


def _value_faults(file: str, look: SheetLook, header: Sequence[str]) -> Iterator[Problem]:
    for letter, row, error in look.errors:
        yield Problem(
            file,
            row or None,
            name_of(letter, header),
            f"Cell {letter}{row} holds the error {error}, and no value.",
            "Write it as it was read, or nk, nm or na.",
        )
    for letter, row in look.percents:
        yield Problem(
            file,
            row or None,
            name_of(letter, header),
            f"Cell {letter}{row} shows a percentage: a hundred times the number that it holds.",
            "Give the column a plain number format, and write the number as it was read.",
        )
    for letter, row, words in look.worded:
        name = name_of(letter, header)
        if row > 1 and not _is_unit_of(name, words):
            yield Problem(
                file,
                row,
                name,
                f"Cell {letter}{row} is shown {_shown(words)} what it holds.",
                "Give the column a plain number format; the unit is the one in the header.",
            )


def _shown(words: str) -> str:
    if words in (IN_THOUSANDS, AS_NOTHING):
        return f"{words}, which is not"
    return f"with “{words}”, which is no part of"


def _is_unit_of(name: str, words: str) -> bool:
    """Say whether the words that a number is shown with are the unit of its own column."""
    return words.lower() in (*name.lower().split("_")[1:], *SECONDS.get(name.lower(), ()))


def name_of(letter: str, header: Sequence[str]) -> str:
    """Return the name above a column, or its letter."""
    place = ord(letter) - ord("A") if len(letter) == 1 else -1
    return header[place] if 0 <= place < len(header) and header[place] else letter


def doubts_of(
    file: str, look: SheetLook, header: Sequence[str], *, is_hidden: bool
) -> list[Problem]:
    """Return what is asked of a sheet that can be read: whether what is hidden belongs to it."""
    mend = "Show it in the workbook, and delete what does not belong to the record."
    found = []
    if is_hidden:
        message = "The sheet is hidden in the workbook. It was read like the others."
        found.append(Problem(file, None, "", message, mend))
    if look.hidden_rows:
        found.append(Problem(file, look.hidden_rows[0], "", _said(look.hidden_rows), mend))
    if look.struck:
        letter, row = look.struck[0]
        found.append(
            Problem(file, row or None, name_of(letter, header), _said_struck(look), STRUCK)
        )
    for column in sorted(set(_columns(look.hidden_columns, len(header)))):
        if name := header[column - 1]:
            message = "The column is hidden in the workbook. It was read like the others."
            found.append(Problem(file, None, name, message, mend))
    return found


def _columns(spans: Iterable[tuple[int, int]], width: int) -> Iterator[int]:
    for first, last in spans:
        yield from range(max(first, 1), min(last, width) + 1)


def _said_struck(look: SheetLook) -> str:
    letter, row = look.struck[0]
    more = len(look.struck) - 1
    whose = f"Cell {letter}{row} is" if not more else f"Cell {letter}{row} and {more} more are"
    return f"{whose} struck out in the workbook. What is struck out was read too."


def _said(rows: Sequence[int]) -> str:
    more = len(rows) - 1
    whose = "This row is" if not more else f"This row and {more} more are"
    return f"{whose} hidden in the workbook, by hand or by a filter. Hidden rows were read too."
