"""What a cleaning regained at one spot (N7).

gain = after / before; regained share = (after - before) / (as-built - before). Bounds carry
their sign through: a bound before and a number after is a gain of at least.
"""

import math
from dataclasses import dataclass
from datetime import date

from registry.faults import DomainError
from registry.measuring.reading import Method

NEAR_AS_BUILT = 0.8  # above this share of as-built before, the lost part is too small to divide by
NEAR_DAYS = 14  # a before or after test farther off is noted


class InvalidGain(DomainError):
    """Tests that cannot stand on the two sides of a cleaning."""


@dataclass(frozen=True)
class Side:
    """One test beside a cleaning, mm/h.

    dry  None where dry is not shown
    """

    on: date
    mm_h: float
    method: Method
    sign: str = ""
    dry: bool | None = True


@dataclass(frozen=True)
class NoGain:
    code: str
    reason: str


@dataclass(frozen=True)
class Gain:
    """factor is after / before with its sign; share is None where it may not be given.

    no_share  why, "" if it is given;  notes  what to print beside it
    """

    factor: float
    sign: str
    share: float | None
    share_sign: str
    no_share: str
    notes: tuple[str, ...] = ()

    @property
    def text(self) -> str:
        """The gain to one decimal with its sign; a bound is rounded so that it stays true."""
        tenths = round(self.factor * 10)
        if self.sign == "<":
            tenths = math.ceil(self.factor * 10)
        elif self.sign == ">":
            tenths = math.floor(self.factor * 10)
        return f"{self.sign} {tenths / 10:.1f}".strip()


def cleaning_gain(
    before: Side | None,
    after: Side | None,
    cleaned_on: date,
    *,
    order_known: bool = True,
    as_built_mm_h: float | None = None,
) -> Gain | NoGain:
    """N7 at one spot.

    order_known    False if a test of the cleaning's own day has no clock time to order it
    as_built_mm_h  accepted rate of the spot, None if not known: then gain only

    A share over 100 % is returned as measured.
    """
    if before is None or after is None:
        which = "before" if before is None else "after"
        return NoGain(f"{which}_missing", f"No test {which} the cleaning at this spot.")
    if not order_known:
        return NoGain("order_unknown", "Which came first, test or cleaning, is not known.")
    if before.on > cleaned_on or after.on < cleaned_on:
        raise InvalidGain("The tests do not lie on the two sides of the cleaning.")
    if before.method is not after.method:
        return NoGain("other_method", "The two tests are of different methods.")
    for side, which in ((before, "before"), (after, "after")):
        if side.dry is False:
            return NoGain("not_dry", f"The test {which} the cleaning was not dry.")
    sign = _gain_sign(before.sign, after.sign)
    if sign is None:
        return NoGain("bounds", "Not known: bounds on both sides leave the gain open.")
    share, share_sign, no_share = _share(before, after, as_built_mm_h)
    notes = _notes(before, after, cleaned_on)
    return Gain(after.mm_h / before.mm_h, sign, share, share_sign, no_share, notes)


_TURNED = {"": "", "<": ">", ">": "<"}


def _gain_sign(before: str, after: str) -> str | None:
    """The gain rises with after and falls with before; None where the two pull apart."""
    signs = {_TURNED[before], after} - {""}
    return None if len(signs) > 1 else "".join(signs)


def _share(before: Side, after: Side, as_built_mm_h: float | None) -> tuple[float | None, str, str]:
    if as_built_mm_h is None:
        return None, "", "no as-built"
    if before.sign == ">":
        return None, "", "the rate before is a bound"
    if before.mm_h > NEAR_AS_BUILT * as_built_mm_h:
        return None, "", "before was above 0.8 of as-built"
    share = (after.mm_h - before.mm_h) / (as_built_mm_h - before.mm_h)
    # With a lower before, the share moves away from 1: up while after is under as-built.
    lower_before = ">" if after.mm_h < as_built_mm_h else "<"
    if after.mm_h == as_built_mm_h:
        lower_before = ""
    signs = {after.sign, lower_before if before.sign == "<" else ""} - {""}
    if len(signs) > 1:
        return None, "", "bounds on both sides leave it open"
    return share, "".join(signs), ""


def _notes(before: Side, after: Side, cleaned_on: date) -> tuple[str, ...]:
    notes = []
    if (cleaned_on - before.on).days > NEAR_DAYS:
        notes.append(f"before tested {(cleaned_on - before.on).days} days earlier")
    if (after.on - cleaned_on).days > NEAR_DAYS:
        notes.append(f"after tested {(after.on - cleaned_on).days} days later")
    if before.dry is None or after.dry is None:
        notes.append("dry not shown")
    return tuple(notes)
