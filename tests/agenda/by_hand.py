"""An iCalendar file read without any library, by the words of RFC 5545.

3.1: lines end in CR LF and have at most 75 octets; a line that begins with a blank goes on with the
one before, octet by octet. 3.3.11: escapes of a text. 3.6.5: an observance begins at its DTSTART by
the clock before it (TZOFFSETFROM); at a local time the one that began last holds. 3.3.5: a local
time that comes twice means the first, one that never comes is read by the offset before the gap.
"""

from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

LONGEST = 75


@dataclass
class Part:
    """A component: its lines as (name, parameters, value), and the parts in it."""

    name: str
    lines: list[tuple[str, dict[str, str], str]] = field(default_factory=list)
    parts: list["Part"] = field(default_factory=list)

    def value(self, name: str) -> str:
        return next(value for found, _, value in self.lines if found == name)

    def parameters(self, name: str) -> dict[str, str]:
        return next(given for found, given, _ in self.lines if found == name)

    def has(self, name: str) -> bool:
        return any(found == name for found, _, _ in self.lines)

    def named(self, name: str) -> list["Part"]:
        return [part for part in self.parts if part.name == name]


def read(file: bytes) -> Part:
    """Return the calendar. Raises ValueError where the file breaks 3.1 or 3.4."""
    root = Part("")
    above = [root]
    for line in unfolded(file):
        head, _, value = line.partition(":")
        name, *given = head.split(";")
        if name == "BEGIN":
            above[-1].parts.append(Part(value))
            above.append(above[-1].parts[-1])
        elif name == "END":
            if above.pop().name != value:
                raise ValueError(f"END:{value} closes nothing")
        else:
            pairs = dict(pair.split("=", 1) for pair in given)
            above[-1].lines.append((name, pairs, value))
    if len(above) != 1 or len(root.parts) != 1:
        raise ValueError("not one calendar")
    return root.parts[0]


def unfolded(file: bytes) -> list[str]:
    if not file.endswith(b"\r\n") or b"\n" in file.replace(b"\r\n", b""):
        raise ValueError("a line does not end in CR LF")
    lines: list[bytes] = []
    for line in file[:-2].split(b"\r\n"):
        if len(line) > LONGEST:
            raise ValueError(f"{len(line)} octets in a line")
        line.decode()  # no sign is torn apart
        if line.startswith(b" "):
            lines[-1] += line[1:]
        else:
            lines.append(line)
    return [line.decode() for line in lines]


def text_of(value: str) -> str:
    """Return a text without its escapes."""
    found, rest = "", iter(value)
    for sign in rest:
        if sign == "\\":
            sign = {"n": "\n", "N": "\n"}.get(after := next(rest), after)
        elif sign in ",;":
            raise ValueError(f"{sign} stands in a text without a backslash")
        found += sign
    return found


def instant_of(part: Part, name: str, calendar: Part) -> datetime:
    """Return the instant of a DATE-TIME, by the VTIMEZONE in the file where it names one."""
    value, given = part.value(name), part.parameters(name)
    if value.endswith("Z"):
        return datetime.strptime(value, "%Y%m%dT%H%M%SZ").replace(tzinfo=UTC)
    zone = next(z for z in calendar.named("VTIMEZONE") if z.value("TZID") == given["TZID"])
    local = datetime.strptime(value, "%Y%m%dT%H%M%S")
    return (local - offset_at(zone, local)).replace(tzinfo=UTC)


def offset_at(zone: Part, local: datetime) -> timedelta:
    """Return how far a clock is ahead of UTC at a local time, the first where it comes twice."""
    found = sorted(zone.parts, key=_onset)
    kept = found[0]
    for part in found:
        before, after = (_offset(part.value(f"TZOFFSET{end}")) for end in ("FROM", "TO"))
        first_seen = _onset(part) + max(after - before, timedelta())
        if local >= first_seen:
            kept = part
        elif after > before and local >= _onset(part):
            return before  # a time that never comes
    return _offset(kept.value("TZOFFSETTO"))


def _onset(part: Part) -> datetime:
    return datetime.strptime(part.value("DTSTART"), "%Y%m%dT%H%M%S")


def _offset(value: str) -> timedelta:
    sign = -1 if value[0] == "-" else 1
    return sign * timedelta(hours=int(value[1:3]), minutes=int(value[3:5]))
