"""The page that takes spreadsheets in names every file and column that is read, and no other."""

import re

from django.template.loader import render_to_string

from registry.exchange.columns import TABLES
from registry.models import ImportBatch


def test_page_names_the_columns_that_are_read():
    page = render_to_string("import_batch/_columns.html")
    told = re.findall(r"<dt>(\w+)</dt><dd>([^;<]*); ([^<]*)</dd>", page)
    read = [
        (
            table.name,
            [" or ".join(group) for group in table.required],
            list(table.optional),
        )
        for table in TABLES.values()
    ]
    assert [
        (name, first.split(", "), [c for part in rest.split(", ") for c in part.split(" or ")])
        for name, first, rest in told
    ] == read


def test_page_counts_the_rows_of_defects_that_were_found():
    batch = ImportBatch(state="checked", counts={"defects": 31}, known={"defects": 1})
    page = render_to_string("import_batch/_found.html", {"batch": batch})
    assert "<dt>new rows of defects</dt><dd>31</dd>" in page
    assert "1 row of defects" in page
