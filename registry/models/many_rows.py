"""Many rows of one table at once: made from a template, kept small, stored by one statement.

`bulk_create` spells out a statement for every 999 values on SQLite, 13 rows of a wide table, and
prepares each of 74 fields of each row anew; a spreadsheet of 100 000 rows then takes a minute.
Here the columns that are the same in every row are prepared once.
"""

from collections.abc import Iterable, Sequence
from typing import Any, Generic, TypeVar

from django.db import connection, models

Row = TypeVar("Row", bound=models.Model)

PLAIN = (str, int, float, bool, type(None))
"""Values that every database takes as they are, save in a JSON column."""

AT_ONCE = 2000


class ManyRows(Generic[Row]):
    """Rows of `model` that share the values of `constants` (by field or attribute name)."""

    def __init__(self, model: type[Row], **constants: Any) -> None:
        self.model = model
        self.fields = [f for f in model._meta.concrete_fields if not f.primary_key]
        self.place = {f.attname: i for i, f in enumerate(self.fields)}
        self._names = [f.attname for f in self.fields]
        self._is_json = [isinstance(f, models.JSONField) for f in self.fields]
        self._values = [constants.get(f.attname, f.get_default()) for f in self.fields]
        unknown = set(constants) - set(self._names)
        if unknown:
            raise TypeError(f"{model.__name__} has no {sorted(unknown)}")
        self._empty: dict[int, Any] = {}
        self._packed = [self._prepare(i, value) for i, value in enumerate(self._values)]

    def make(self, **changes: Any) -> Row:
        """Return an unsaved row: the template with some values changed, by attribute name.

        A value that can be changed in place (a dict, a list) is never shared by two rows.
        """
        values = [v.copy() if isinstance(v, dict | list) else v for v in self._values]
        for name, value in changes.items():
            values[self.place[name]] = value
        return self.model(None, *values)

    def packed(self, row: Row) -> list[Any]:
        """Return a row's values as the database takes them, without its key."""
        stored = row.__dict__
        return [
            packed if (value := stored[name]) is shared else self._prepare(i, value)
            for i, (name, shared, packed) in enumerate(
                zip(self._names, self._values, self._packed, strict=True)
            )
        ]

    def _prepare(self, place: int, value: Any) -> Any:
        if self._is_json[place]:
            if not value:
                return self._prepared_empty(place, value)
        elif isinstance(value, PLAIN):
            return value
        return self.fields[place].get_db_prep_save(value, connection)

    def _prepared_empty(self, place: int, value: Any) -> Any:
        if place not in self._empty:
            self._empty[place] = self.fields[place].get_db_prep_save(value, connection)
        return self._empty[place]

    def store(self, packed: Iterable[Sequence[Any]]) -> int:
        """Insert packed rows; their number comes back. Keys are read back by who needs them."""
        quote = connection.ops.quote_name
        columns = ", ".join(quote(str(f.column)) for f in self.fields)
        marks = ", ".join(["%s"] * len(self.fields))
        table = quote(self.model._meta.db_table)
        statement = f"INSERT INTO {table} ({columns}) VALUES ({marks})"
        count, rows = 0, []
        with connection.cursor() as cursor:
            for row in packed:
                rows.append(row)
                if len(rows) == AT_ONCE:
                    cursor.executemany(statement, rows)
                    count, rows = count + len(rows), []
            if rows:
                cursor.executemany(statement, rows)
        return count + len(rows)
