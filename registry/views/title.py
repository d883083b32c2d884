"""The title block of a pavement: the same on every page about it, and on its sheets."""

from dataclasses import dataclass
from datetime import date

from registry import access
from registry.gathering.layouts import current_plan
from registry.models import Pavement, Person


@dataclass(frozen=True)
class TitleBlock:
    """What stands at the head of a pavement's pages; `cells` are pairs of label and text."""

    title: str
    under: str
    cells: tuple[tuple[str, str], ...]


def title_block_of(person: Person, pavement: Pavement, *, as_of: date) -> TitleBlock:
    """Return the title block (two queries): the numbers, the plan."""
    own, others = access.numbers_of(person, pavement)
    plan = current_plan(pavement)
    return TitleBlock(
        title=pavement.name,
        under=", ".join(part for part in (pavement.site.name, pavement.site.address) if part),
        cells=(
            ("own number", ", ".join(n.number for n in own) or "none"),
            (
                "others' numbers",
                ", ".join(f"{n.number} ({n.organisation})" for n in others) or "none",
            ),
            ("placed on", _placed(pavement)),
            ("plan", _plan_words(plan)),
            ("as of", as_of.isoformat()),
        ),
    )


def _placed(pavement: Pavement) -> str:
    if pavement.placed_on is None:
        return pavement.kind_of_empty("placed_on")
    until = pavement.placed_until_on
    more = f" to {until:%Y-%m-%d}" if until and until != pavement.placed_on else ""
    return f"{pavement.placed_on:%Y-%m-%d}{more}"


def _plan_words(plan: object) -> str:
    if plan is None:
        return "none drawn yet"
    drawn = getattr(plan, "drawn_on", None)
    return f"{plan}{f', {drawn:%Y-%m-%d}' if drawn else ''}"
