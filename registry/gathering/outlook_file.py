"""Outlooks as the command writes them: the same keys for every pavement, null where not decided."""

from collections.abc import Iterable
from datetime import date
from typing import Any

from registry.gathering.outlooks import PavementOutlook

POINT = {
    "effective_age": "effective_age_yr",
    "a": "intercept",
    "k": "slope_per_yr",
    "sd_a": "sd_intercept",
    "sd_k": "sd_slope_per_yr",
    "rate": "rate_mm_h",
    "low": "low_mm_h",
    "high": "high_mm_h",
    "p_below": "p_below",
    "sweep_by": "own_sweep_by_on",
}
"""Keys of the file, and the columns they are of."""


def as_file(
    outlooks: Iterable[PavementOutlook], names: dict[int, str]
) -> dict[str, dict[str, Any]]:
    """Return the outlooks by ref."""
    return {names[o.pavement]: _pavement(o) for o in outlooks if o.pavement in names}


def _pavement(outlook: PavementOutlook) -> dict[str, Any]:
    values, why_not = outlook.values, outlook.values["why_not"]
    found = {
        **_point(values),
        "points": {spot["name"]: _point(spot) for spot in outlook.spots},
        "pavement_sweep_by": _text(values.get("sweep_by_on")),
        "by_method": [{**m, "sweep_by_on": _text(m["sweep_by_on"])} for m in outlook.by_method],
        "beyond_sweeping": values.get("is_beyond_sweeping"),
        "share_below": values.get("share_below"),
        "edge_share_below": values.get("edge_share_below"),
        "whole_share_below": values.get("whole_share_below"),
    }
    return found | ({"not_decided": why_not} if why_not else {})


def _point(values: dict[str, Any]) -> dict[str, Any]:
    return {key: _text(values.get(column)) for key, column in POINT.items()}


def _text(value: Any) -> Any:
    return value.isoformat() if isinstance(value, date) else value
