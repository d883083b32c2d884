"""Rows with some of their columns, for pages that tell of ten thousand of them.

As `QuerySet.only` gives them: what was left out is asked for when it is read, one row at a time.
But `only` looks each column of each row up in a list, which takes longer than the columns it saves.
"""

from collections.abc import Sequence
from typing import TypeVar

from django.db.models import Model, QuerySet
from django.db.models.base import ModelState

Row = TypeVar("Row", bound=Model)


def narrow(rows: "QuerySet[Row]", columns: Sequence[str]) -> list[Row]:
    """Return rows with these columns ("spot_id" for a link), their key and their annotations."""
    names = ("pk", *(name for name in columns if name != "pk"))
    stored = [rows.model._meta.pk.attname, *names[1:], *rows.query.annotations]
    return [
        _row(rows.model, rows.db, dict(zip(stored, values, strict=True)))
        for values in rows.values_list(*names, *rows.query.annotations)
    ]


def _row(model: type[Row], database: str, values: dict[str, object]) -> Row:
    row = model.__new__(model)
    row._state = ModelState()
    row._state.adding, row._state.db = False, database
    row.__dict__.update(values)
    return row
