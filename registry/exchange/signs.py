"""Signs that the eye does not tell: blanks and marks nobody sees, and texts that look alike."""

import unicodedata
from functools import lru_cache

PLAIN = frozenset("\t\r\n\u200c\u200d")
"""Unprintable in the tables of signs and yet meant: line ends, and the joiners of Arabic, Indic
scripts and emoji."""
LOOK_ALIKE = "differ only in capitals, blanks, width or signs that nobody sees."
UNSEEN = frozenset({"Cc", "Cf", "Zl", "Zp"})


def unseen_signs(text: str) -> list[str]:
    """Return the signs of a text that nobody sees, as U+200B, each once and in order."""
    if text.isprintable():
        return []
    found = (c for c in text if c not in PLAIN and unicodedata.category(c) in UNSEEN)
    return list(dict.fromkeys(f"U+{ord(c):04X}" for c in found))


def one_line(text: str) -> str:
    """Return a text for a line on a terminal: blanks for line ends, U+001B for what is unseen."""
    if text.isprintable():
        return text
    return "".join(
        c if c.isprintable() else " " if c.isspace() else f"U+{ord(c):04X}" for c in text
    )


@lru_cache(maxsize=20_000)
def skeleton(text: str) -> str:
    """Return what is left of a text once case, width, accents' coding and blanks are taken away.

    Two texts with one skeleton look alike to a reader: "P1", "p 1" and, in full width, "Ｐ１".
    Published rule for width and coding: Unicode Standard Annex 15, form NFKC.
    """
    if text.isascii():
        return "".join(text.split()).casefold()
    plain = unicodedata.normalize("NFKC", unicodedata.normalize("NFKC", text).casefold())
    return "".join(c for c in plain if unicodedata.category(c) not in UNSEEN and not c.isspace())
