"""A cover walk card that came back, typed in in the card's own order, strip by strip.

What stands on the card is read by the forms of its entries, so that paper and page make the same
rows; what they refuse is told at the line of the card.
"""

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.http import QueryDict

from registry.forms.cover import (
    CoverBreakForm,
    CoverForm,
    CoverWalkForm,
    EarlyLoadForm,
    UncoverForm,
)
from registry.forms.cover_card import (
    DITTO,
    EARLY,
    UNCOVERS,
    CardHeadForm,
    Line,
    OnItEarlyForm,
    StripForm,
    UncoveredForm,
    WalkForm,
)
from registry.forms.entry import EntryForm
from registry.forms.load_copy import typed_at
from registry.models import Cover, PlacingDay
from registry.models.choices import ReadingSystem
from registry.models.entry import Change, Entry

WRITTEN_ALREADY = (
    "A cover of these panels is written down already. Leave this strip's head blank: what is below "
    "is stored all the same."
)


class CopiedStrip:
    """One page of the card: a strip that is on the record as `cover`, or one written by pen."""

    def __init__(
        self, card: "CopiedCard", nth: int, cover: Cover | None, dues: Sequence[str]
    ) -> None:
        self.card, self.nth, self.cover, data = card, nth, cover, card.data
        self.head = Line(f"Strip {nth}", StripForm(data, prefix=f"s{nth}"))
        if cover is not None:
            for name in ("panels", "last_on", "last_clock"):
                del self.head.form.fields[name]
        self.walks = self._lines("walk", WalkForm, dues)
        self.uncovered = self._lines("uncovered", UncoveredForm, [""] * UNCOVERS)
        self.early = self._lines("on it early", OnItEarlyForm, [""] * EARLY)

    def _lines(self, what: str, form: type[forms.Form], dues: Sequence[str]) -> list[Line]:
        slug = what.replace(" ", "")
        return [
            Line(
                f"Strip {self.nth}, {what} {n}{f' ({due})' if due else ''}",
                form(self.card.data, prefix=f"s{self.nth}-{slug}{n}"),
            )
            for n, due in enumerate(dues, start=1)
        ]

    @property
    def lines(self) -> list[Line]:
        """Return all lines in the order of the card."""
        return [self.head, *self.walks, *self.uncovered, *self.early]

    @property
    def panels(self) -> str:
        """Return the panels of the strip as written."""
        if self.cover is not None:
            return self.cover.panels_text or ", ".join(self.cover.panels)
        return self.head.said("panels")["panels"]

    def is_valid(self) -> bool:
        """Read every line on which something was typed."""
        for line in self.lines:
            line.made = []
            line.form.is_valid()
        self._read_head()
        for lines, read in (
            (self.walks, self._read_walk),
            (self.uncovered, self._read_uncovered),
            (self.early, self._read_early),
        ):
            above = ""
            for line in lines:
                if line.typed:
                    on = line.said("on")["on"]
                    above = above if on.casefold() in DITTO else on
                    read(line, above)
        return not any(line.is_wrong for line in self.lines)

    def _entry(self, form: type[EntryForm], n: str, given: dict[str, str], **more: Any) -> Any:
        """Return the form of an entry, filled with what the card says."""
        prefix = f"s{self.nth}-{n}-{form.__name__}"
        own = {f"{prefix}-{k}": v for k, v in {"system": self.card.system, **given}.items()}
        day, system = self.card.day, self.card.system
        return form(own, parent=day, system=system, prefix=prefix, **more)

    def _read_head(self) -> None:
        said = self.head.said("panels", "last_on", "last_clock", "sheet", "misted", "laps", "edges")
        given = {
            "sheet_mm": said["sheet"], "misted_before": said["misted"],
            "laps": said["laps"], "edges": said["edges"],
        }  # fmt: skip
        places = {"sheet_mm": "sheet", "misted_before": "misted", "laps": "laps", "edges": "edges"}
        if not self.head.typed:  # walks alone, of all covers
            return
        if self.cover is not None:
            self._correct_head(self.cover, given, places)
            return
        last = self.head.instant(said["last_on"], said["last_clock"], "last_on")
        given |= {"panels_text": said["panels"], "last_at": last}
        places |= {"panels_text": "panels", "last_at": "last_clock"}
        fresh = self._entry(CoverForm, "head", given)
        self.head.make(fresh, places)
        if not self.head.is_wrong and set(fresh.names["panels"]) in self.card.covered:
            self.head.form.add_error("panels", WRITTEN_ALREADY)

    def _correct_head(
        self, cover: Cover, given: Mapping[str, str], places: Mapping[str, str]
    ) -> None:
        """What the pen says of a strip on the record corrects it; blanks change nothing."""
        shown = CoverForm(None, parent=self.card.day, system=self.card.system, instance=cover)
        stored = {bound.name: bound.value() for bound in shown}
        kept = {name: "" if v is None else str(v) for name, v in stored.items()}
        pen = {name: text for name, text in given.items() if text}
        both = {**kept, **pen, "system": self.card.system}
        self.head.make(self._entry(CoverForm, "head", both, instance=cover), places)

    def _read_walk(self, line: Line, on: str) -> None:
        said = line.said("clock", "by", "all_lies", "panels", "bare_from", "bare_to", "cause",
                         "relaid")  # fmt: skip
        bare = {
            "panels_text": said["panels"], "cause": said["cause"], "relaid_how": said["relaid"],
            "from_at": line.instant(on, said["bare_from"]),
            "to_at": line.instant(on, said["bare_to"]),
        }  # fmt: skip
        lay_bare = any(bare.values())
        if said["clock"] or said["by"] or said["all_lies"] or not lay_bare:
            found = "all lies" if said["all_lies"] else ""
            bare_words = f"bare: {said['panels']}" if said["panels"] else ""
            given = {
                "at": line.instant(on, said["clock"]), "walked_by": said["by"],
                "panels_text": self.panels, "found": "; ".join(filter(None, (found, bare_words))),
            }  # fmt: skip
            walk = self._entry(CoverWalkForm, line.name, given)
            line.make(walk, {"at": "clock", "walked_by": "by"})
        if lay_bare:
            places = {"panels_text": "panels", "from_at": "bare_from", "to_at": "bare_to",
                      "cause": "cause", "relaid_how": "relaid"}  # fmt: skip
            line.make(self._entry(CoverBreakForm, line.name, bare), places)

    def _read_uncovered(self, line: Line, on: str) -> None:
        said = line.said("clock", "panels", "by")
        given = {
            "at": line.instant(on, said["clock"]), "panels_text": said["panels"],
            "uncovered_by": said["by"],
        }  # fmt: skip
        places = {"at": "clock", "panels_text": "panels", "uncovered_by": "by"}
        line.make(self._entry(UncoverForm, line.name, given), places)

    def _read_early(self, line: Line, on: str) -> None:
        said = line.said("what", "clock", "panels", "by")
        given = {
            "what": said["what"], "at": line.instant(on, said["clock"]),
            "panels_text": said["panels"], "seen_by": said["by"],
        }  # fmt: skip
        places = {"what": "what", "at": "clock", "panels_text": "panels", "seen_by": "by"}
        line.make(self._entry(EarlyLoadForm, line.name, given), places)

    def entries(self) -> list[Entry]:
        """Return the unsaved rows of a valid strip, in the order of the card."""
        forms_ = [form for line in self.lines for form in line.made if not form.is_correction]
        return [form.entry() for form in forms_]

    def changes(self) -> dict[str, Change]:
        """Return what the pen corrects of a strip that is on the record."""
        corrected = [form for form in self.head.made if form.is_correction]
        return corrected[0].changes() if corrected else {}


class CopiedCard:
    """One copying in of the cover walk cards of a placing day."""

    def __init__(
        self,
        day: PlacingDay,
        *,
        data: QueryDict | None,
        system: str,
        covers: Sequence[Cover | None],
        dues: Sequence[str],
    ) -> None:
        self.day, self.data = day, data
        rows = day.covers.standing() if None in covers else ()
        self.covered = [set(row.panels) for row in rows if row.panels]
        self.head = CardHeadForm(data, initial={"system": system})
        chosen = str(self.head["system"].value())
        self.system = chosen if chosen in ReadingSystem.values else system
        self.strips = [CopiedStrip(self, n, one, dues) for n, one in enumerate(covers, start=1)]

    def is_valid(self) -> bool:
        """Read the whole card; what is blank there makes nothing."""
        is_good = self.head.is_valid()
        if not self.typed():
            self.head.add_error(None, "Nothing was typed: there is nothing on the card.")
            return False
        good = [
            strip.is_valid() for strip in self.strips
        ]  # each of them, to tell all that is wrong
        return is_good and all(good)

    def typed(self) -> dict[str, str]:
        """Return what was typed by place on the card, readable or not; blanks are left out."""
        found = typed_at("Card", [self.head["released_on"]])
        for strip in self.strips:
            for line in strip.lines:
                found |= line.typed
        return found

    @property
    def wrong(self) -> list[Line]:
        """Return the lines that have to be put right."""
        return [line for strip in self.strips for line in strip.lines if line.is_wrong]

    def released(self) -> dict[str, Change]:
        """Return the day of release where the card says another than the record."""
        on, known = self.head.cleaned_data.get("released_on"), self.day.released_on
        if on is None or on == known:
            return {}
        text = str(self.head["released_on"].value())
        return {"released_on": Change(on, text, seen=known, is_seen_known=True)}
