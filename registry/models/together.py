"""Rows of several small tables by one question to the database.

A page about a pavement tells of a dozen kinds of entry, few of each; asking for each by itself is
a dozen journeys. Here the questions are put one below the other (UNION ALL). Each row of the
answer says from which question it comes; values of one kind of column share its places, and what
a table does not fill stays empty.
"""

from collections import Counter
from collections.abc import Sequence
from typing import Any

from django.core.exceptions import EmptyResultSet
from django.db import connections, models
from django.db.models import prefetch_related_objects

_WHOLE = "bigint"
FAMILIES = {
    "AutoField": _WHOLE,
    "BigAutoField": _WHOLE,
    "IntegerField": _WHOLE,
    "BigIntegerField": _WHOLE,
    "SmallIntegerField": _WHOLE,
    "PositiveIntegerField": _WHOLE,
    "PositiveBigIntegerField": _WHOLE,
    "PositiveSmallIntegerField": _WHOLE,
    "BooleanField": "boolean",
    "FloatField": "double precision",
    "DecimalField": "numeric",
    "CharField": "text",
    "TextField": "text",
    "DateField": "date",
    "DateTimeField": "timestamp with time zone",
    "TimeField": "time",
    "JSONField": "jsonb",
}
"""Type of a field -> type of the column in which its values stand below those of others."""


def together(*asked: models.QuerySet) -> list[list[Any]]:
    """Return the rows of each queryset, by one query, and one for each relation they name.

    Of a queryset its conditions, its `select_related` of one step and its `prefetch_related` hold;
    rows come by their key, whatever order was asked for. Raises KeyError for a column of a type
    that FAMILIES does not know.
    """
    connection = connections[asked[0].db]
    fields = [list(rows.model._meta.concrete_fields) for rows in asked]
    families = [[FAMILIES[_kind(f)] for f in of_one] for of_one in fields]
    places = _places(families)
    sql, params = _question(asked, fields, families, places, connection)
    found: list[list[Any]] = [[] for _ in asked]
    if sql:
        with connection.cursor() as cursor:
            cursor.execute(sql, params)
            for values in cursor.fetchall():
                found[values[0]].append(values)
    return [
        _rows(queryset, of_one, [places[p] for p in _numbered(kinds)], values, connection)
        for queryset, of_one, kinds, values in zip(asked, fields, families, found, strict=True)
    ]


def _kind(field: models.Field) -> str:
    while field.remote_field is not None:
        field = field.target_field
    return field.get_internal_type()


Place = tuple[str, int]
"""The n-th column of a family."""


def _numbered(families: Sequence[str]) -> list[Place]:
    seen: Counter[str] = Counter()
    numbered = []
    for family in families:
        numbered.append((family, seen[family]))
        seen[family] += 1
    return numbered


def _places(families: Sequence[Sequence[str]]) -> dict[Place, int]:
    """Return at which column of the answer each place stands; column 0 says whose row it is."""
    used = sorted({place for of_one in families for place in _numbered(of_one)})
    return {place: column for column, place in enumerate(used, start=1)}


def _question(
    asked: Sequence[models.QuerySet],
    fields: Sequence[Sequence[models.Field]],
    families: Sequence[Sequence[str]],
    places: dict[Place, int],
    connection: Any,
) -> tuple[str, list[Any]]:
    quote, params, parts = connection.ops.quote_name, [], []
    for number, queryset in enumerate(asked):
        names = [f.attname for f in fields[number]]
        rows = queryset.order_by().select_related(None).values_list(*names)
        try:
            inner, given = rows.query.get_compiler(connection=connection).as_sql()
        except EmptyResultSet:  # its conditions leave nothing, so there is nothing to ask
            continue
        filled = dict(zip(_numbered(families[number]), fields[number], strict=True))
        columns = [
            f"r.{quote(filled[place].column)}" if place in filled else f"CAST(NULL AS {place[0]})"
            for place in places
        ]
        parts.append(f"SELECT {number} AS part, {', '.join(columns)} FROM ({inner}) r")
        params += given
    return " UNION ALL ".join(parts), params


def _rows(
    queryset: models.QuerySet,
    fields: Sequence[models.Field],
    columns: Sequence[int],
    found: Sequence[Sequence[Any]],
    connection: Any,
) -> list[Any]:
    model, read = queryset.model, [_reader(f, connection) for f in fields]
    names = [f.attname for f in fields]
    rows = [
        model.from_db(queryset.db, names, [r(v[c]) for r, c in zip(read, columns, strict=True)])
        for v in found
    ]
    rows.sort(key=lambda row: row.pk)
    related = queryset.query.select_related
    prefetch_related_objects(
        rows, *(related if isinstance(related, dict) else ()), *queryset._prefetch_related_lookups
    )
    return rows


def _reader(field: models.Field, connection: Any) -> Any:
    column = field.get_col(field.model._meta.db_table)
    steps = connection.ops.get_db_converters(column) + column.get_db_converters(connection)

    def read(value: Any) -> Any:
        for step in steps:
            value = step(value, column, connection)
        return value

    return read
