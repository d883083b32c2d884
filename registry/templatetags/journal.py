"""Lines of the journal in words."""

from django import template

from registry.gathering.journal_words import journal_words
from registry.models import JournalLine
from registry.units import System

register = template.Library()


@register.filter
def as_people_write(text: str, line: JournalLine) -> str:
    """Return a text of a journal line; lists in the units of the sheets of its pavement."""
    if not text.startswith(("[", "{")):
        return text
    system = line.pavement.sheet_system if line.pavement else System.INCH_POUND
    return journal_words(text, system)
