"""A digest of all that decides a fit, so that whether it is stale is seen and not remembered."""

import hashlib
import json
from dataclasses import fields

import numpy as np

from registry.decline.options import FitOptions
from registry.decline.portfolio import Portfolio, select_pavements
from registry.decline.records import Column
from registry.decline.written import options_as_plain

# What a fit does not use: the day it is drawn for, names and action levels are free to change.
NOT_USED = {"as_of", "lists", "placed_on", "action_mm_h", "pavement_driver", "visit_on"}


def digest_of(portfolio: Portfolio, options: FitOptions) -> str:
    """SHA-256, hex. Where a fit starts from does not count: it ends in the same place.

    Nor do pavements without tests, which change nothing.
    """
    portfolio = select_pavements(portfolio, portfolio.tests_of_pavements() > 0)
    found = hashlib.sha256()
    plain = {name: v for name, v in options_as_plain(options).items() if name != "start"}
    found.update(json.dumps(plain, sort_keys=True).encode())
    columns = {f.name: getattr(portfolio, f.name) for f in fields(portfolio)}
    lists = {f"lists.{name}": column for name, column in vars(portfolio.lists).items()}
    for name, column in sorted({**columns, **lists}.items()):
        if name in NOT_USED:
            continue
        found.update(f"{name} {column.dtype.kind} {column.shape}".encode())
        text = column.dtype.kind in "UO"
        found.update("\0".join(column.tolist()).encode() if text else canonical(column))
    return found.hexdigest()


def canonical(column: Column) -> bytes:
    """The same bytes on every machine."""
    kinds = {"f": "<f8", "i": "<i8", "u": "<u8", "b": "<u1"}
    return np.ascontiguousarray(column.astype(kinds[column.dtype.kind])).tobytes()
