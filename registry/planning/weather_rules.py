"""What the day itself must keep: dry hours, warmth, notice, a day for the after-test.

Vacuum: dry, 24 h after rain. Wash: any surface, 40 °F (4.4 °C) and rising, no frost within 24 h.
Common practice, no source, but for this: a published trial found that regenerative air on a wet
surface made rates worse (Simpson, Winston, Tirpak, J. Env. Management 2021). A round holds its days
to these limits or to those set in their place (`limits.py`; `rounds/suits.py`,
`rounds/check_days.py`, `rounds/drying.py`).
"""

from datetime import datetime

from registry.planning.faults import PlanningError
from registry.planning.rules import Breach, Rule


def notice_breach(notice_at: datetime | None, begins_at: datetime, hours: float) -> Breach | None:
    """Return the breach of the notice for cars out, in elapsed hours. Both instants have a zone."""
    if notice_at is None:
        return Breach(Rule.NOTICE, f"No notice is written; the site asks for {hours:g} h.")
    if notice_at.tzinfo is None or begins_at.tzinfo is None:
        raise PlanningError("Notice and begin are instants of a time zone.")
    # By their stamps: instants of one zone would be subtracted by their clocks.
    given = (begins_at.timestamp() - notice_at.timestamp()) / 3600
    if given < 0:
        return Breach(
            Rule.NOTICE, f"The notice came after the begin; the site asks for {hours:g} h."
        )
    if given < hours:
        words = f"The notice was posted {given:.1f} h before; the site asks for {hours:g} h."
        return Breach(Rule.NOTICE, words)
    return None
