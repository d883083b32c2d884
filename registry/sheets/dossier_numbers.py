"""What the figures of a dossier say by load, in the sentences of its front sheet."""

from collections.abc import Iterator

from registry.dossier import Book
from registry.dossier.late_figures import PAIRS, late_rule, loads_of
from registry.dossier.look_figures import compared_day
from registry.dossier.pattern_figures import left_out_name, tau_name
from registry.dossier.winter_figures import IN_ZONE, OUT_OF_ZONE

SHORT = {
    "tape": "taped",
    "photo": "on photo",
    "eye": "by eye",
    "plan_outline": "on plan",
    "photo_outline": "on photo",
    "panel_area": "by area",
}
"""Ways of grading as the front sheet has room for them."""
FACTOR_WORDS = {
    "lag": "discharge to cover",
    "wait": "batch to discharge",
    "evaporation": "evaporation",
    "water": "w/cm",
    "density": "density",
    "air": "air",
}


def number_lines(book: Book) -> Iterator[str]:
    """The block NUMBERS of the front sheet, one sentence each."""
    tried = [code for code in FACTOR_WORDS if book.shown(tau_name(code))]
    given = [code for code in tried if book.has(tau_name(code))]
    counts = {code: book.figures[tau_name(code)].constants["loads"] for code in given}
    if given:
        most = max(counts.values())
        taus = [
            f"{FACTOR_WORDS[code]} {book.shown(tau_name(code))} "
            f"({book.shown(f'p of {tau_name(code)}')}{_fewer(counts[code], most)})"
            for code in given
        ]
        taus += [f"{FACTOR_WORDS[code]} not given" for code in tried if code not in given]
        words = ", ".join(taus)
        tried_words = f"{len(tried)} factors tried{_graded(book)}"
        yield f"tau-b with raveling over {most} loads, {tried_words}: {words}."
    else:
        reason = book.not_given.get("placing record") or next(
            (book.not_given[tau_name(code)] for code in tried), book.not_given.get("pattern", "")
        )
        yield f"tau-b: not given. {reason}"
    for code in tried:
        if left_out := book.not_given.get(left_out_name(code)):
            yield left_out
    if together := [n.removesuffix(" move together") for n in book.figures if " move tog" in n]:
        yield f"Not separable here: {_by_first(together)}."
    yield from _late(book)
    if book.has(IN_ZONE, OUT_OF_ZONE):
        yield (
            f"Winter: plow or salt zone {book.shown(IN_ZONE)} gained, the rest "
            f"{book.shown(OUT_OF_ZONE)}."
        )
    else:
        yield f"Winter in and out of the zone: {book.not_given.get(IN_ZONE, 'not given.')}"


def _graded(book: Book) -> str:
    """ ", taped 2023-10-03", the look that is compared and its way of grading."""
    day = compared_day(book)
    return f", {SHORT.get(day.graded_by, '')} {day.on}" if day else ""


def _by_first(pairs: list[str]) -> str:
    """ "lag with wait, air; wait with air" of "lag and wait", "lag and air", "wait and air"."""
    found: dict[str, list[str]] = {}
    for pair in pairs:
        one, _, other = pair.partition(" and ")
        found.setdefault(one, []).append(other)
    return "; ".join(f"{one} with {', '.join(others)}" for one, others in found.items())


def _fewer(count: int, most: int) -> str:
    return "" if count == most else f", {count} loads"


def _late(book: Book) -> Iterator[str]:
    for late, rest in PAIRS:
        rule = late_rule(book, late)
        if rule is not None and book.has(late, rest):
            yield (
                f"Covered later than {rule.words} ({rule.source}): loads {loads_of(book, late)}, "
                f"raveled {book.shown(late)} by area; the others {book.shown(rest)}."
            )
        elif rule is not None:
            yield f"Late against others: {book.not_given.get(late, 'not given.')}"
