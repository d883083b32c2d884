"""Points of a plan and the slack within which two of them are one."""

Point = tuple[float, float]
"""(right_m, up_m) from the datum, metres, looking up."""

TOUCH_M = 1e-6
"""A micrometre: sums of feet in floating point miss a joint by less."""
