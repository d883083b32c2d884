"""How far two runs at one spot may lie apart before they are asked about.

One tester's runs at one spot scatter by 4.7 % of their mean (one standard deviation; from memory of
ASTM C1701/C1701M, precision). Two of them differ by less than 2.8 times that, 19 times in 20: the
repeatability limit of ASTM E177 and ISO 5725-6, 1.96 times the root of 2.
"""

import math

from registry.measuring.certainty import InvalidSample

SCATTER = 0.047
LIMIT = 2.8 * SCATTER


def difference_of_runs(one: float, other: float) -> float:
    """Return by what share of their mean two rates of one unit differ. InvalidSample for none."""
    if not all(math.isfinite(rate) and rate > 0 for rate in (one, other)):
        raise InvalidSample("Two rates above zero are needed to compare them.")
    return abs(one - other) / ((one + other) / 2)


def agree(one: float, other: float) -> bool:
    """Say whether two runs at one spot differ by no more than the limit."""
    return difference_of_runs(one, other) <= LIMIT
