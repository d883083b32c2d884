"""Names that stand on one line: in a mail's subject, on a sheet, in a list."""

import unicodedata

from django.core.exceptions import ValidationError

NOT_IN_A_LINE = frozenset({"Cc", "Zl", "Zp"})
"""Unicode categories of control signs and of ends of lines and paragraphs."""


def check_one_line(text: str) -> None:
    """Raise ValidationError where a text holds an end of a line or another control sign."""
    if any(unicodedata.category(sign) in NOT_IN_A_LINE for sign in text):
        raise ValidationError("Write it in one line, without control signs.", code="one_line")
