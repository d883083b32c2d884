"""Text cells that no spreadsheet program takes for a formula.

A program that opens a CSV file runs a cell that begins with = + - @, a tab or a carriage return,
half-width or full-width (OWASP, "CSV injection"). Such a text is written behind one apostrophe.
So is a text that itself begins with an apostrophe, so that reading takes off exactly what writing
put on: `unguard(guard(text)) == text` for every text. Number cells are never guarded.
"""

SETS_OFF = frozenset("=+-@\t\r\n＝＋－＠")
MARK = "'"


def guard(text: str) -> str:
    """Return a text as it is written into a cell."""
    return MARK + text if text and (text[0] in SETS_OFF or text[0] == MARK) else text


def unguard(cell: str) -> str:
    """Return the text of a cell as it was before writing."""
    if len(cell) > 1 and cell[0] == MARK and (cell[1] in SETS_OFF or cell[1] == MARK):
        return cell[1:]
    return cell
