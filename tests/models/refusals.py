"""Hold that the database itself refuses a row, and by which rule of its table."""

from collections.abc import Callable
from datetime import UTC, date, datetime
from typing import Any

import pytest
from django.apps import apps
from django.db import IntegrityError, models, transaction

AT = datetime(2024, 6, 1, 12, tzinfo=UTC)
DAY = date(2024, 6, 1)
DAY_BEFORE = date(2024, 5, 31)
VOID = {"void_at": AT}
"""Void without a reason."""
BACKWARD = {"from_on": DAY, "to_on": DAY_BEFORE}
NO_SPAN = {"from_on": DAY, "to_on": DAY}

RULES: dict[str, tuple[type[models.Model], models.BaseConstraint]] = {
    rule.name: (model, rule)
    for model in apps.get_app_config("registry").get_models()
    for rule in model._meta.constraints
}


def refused(rule: str, make: Callable[..., Any], **fields: Any) -> None:
    """Hold that making a row of these fields breaks the rule of this name, and no other."""
    with pytest.raises(IntegrityError) as told, transaction.atomic():
        make(**fields)
    assert any(words in str(told.value) for words in _words_of(rule)), told.value


def _words_of(name: str) -> list[str]:
    """SQLite names the columns of a broken unique rule, other databases its name."""
    model, rule = RULES[name]
    columns = getattr(rule, "fields", ())
    if not columns:
        return [name]
    table = model._meta.db_table
    told = ", ".join(f"{table}.{model._meta.get_field(f).column}" for f in columns)
    return [f'"{name}"', f"UNIQUE constraint failed: {told}"]
