"""The words round a plan picture: title, description, head line, legend and datum."""

from registry.drawing.flow import Entry, Flowed, flow
from registry.drawing.hatches import HATCH_OF_STATE, Hatch, hatched
from registry.drawing.plan_ground import grounds_in_words, new_concrete
from registry.drawing.plan_marks import PlanContent, SpotMark, StateArea
from registry.drawing.plan_things import NAMED_SPOTS, SYMBOL_OF_FEATURE
from registry.drawing.primitives import Area, Item, Mark, Point, Role, Symbol
from registry.plan import FeatureKind, OffsetFrom
from registry.plan.lengths import unit_name, with_unit, written_from
from registry.units import System


def title_of(content: PlanContent) -> str:
    part = f", {content.part}" if content.part else ""
    return f"Plan {content.layout.number} on {content.on.isoformat()}{part}"


def described(content: PlanContent) -> str:
    words = [grounds_in_words(content.layout, content.panels)]
    if content.layout.datum.up_toward:
        words.append(f"Up is toward {content.layout.datum.up_toward}.")
    words += [f"{state.where or 'All of it'}: {state.word}." for state in content.states]
    if content.spots:
        words.append(_spots_in_words(content.spots))
    if content.defects:
        words.append(f"{len(content.defects)} known defects.")
    if content.photos:
        words.append(f"{sum(mark.count for mark in content.photos)} photos.")
    return " ".join(words)


def _spots_in_words(spots: tuple[SpotMark, ...]) -> str:
    told = sorted(spots, key=lambda spot: not spot.value)[:NAMED_SPOTS]
    words = "; ".join(f"{spot.name} {spot.value}".strip() for spot in told)
    more = f" and {len(spots) - len(told)} more" if len(spots) > len(told) else ""
    return f"Spots: {words}{more}."


def head_line(content: PlanContent, width: float) -> Flowed:
    """ "UP, toward the entrance" beside the arrow, and which part of the plan this is."""
    toward = content.layout.datum.up_toward
    words = [Entry(f"UP, toward {toward}" if toward else "UP")]
    if content.part:
        words.append(Entry(content.part))
    if content.is_small:
        words += _swept_entries(content)
    return flow(words, 6.8, 0.0, width - 6.8)


def caption(content: PlanContent) -> list[Entry]:
    """Signs used, states without an outline, new concrete, how places count, datum."""
    layout = content.layout
    if content.is_small:
        return []
    entries = [_state_entry(state) for state in _states_once(content.states)]
    entries += _swept_entries(content)
    kinds = {feature.kind for feature in layout.features_on(content.on)}
    for kind in FeatureKind:
        if kind in kinds and kind not in (FeatureKind.RUN_ON, FeatureKind.FIXED_POINT):
            entries.append(_sign_entry(SYMBOL_OF_FEATURE[kind], kind.value.replace("_", " ")))
    if content.spots:
        entries.append(_sign_entry(Symbol.SPOT, "test spot"))
    entries += [
        Entry(f"{state.where}: {state.word} (no outline yet)")
        for state in content.states
        if not state.rings
    ]
    new = new_concrete(content.panels)
    if new:
        entries.append(Entry(f"thick: {new}"))
    entries.extend(_counting(content))
    entries.extend(_datum_words(content))
    return entries


def _states_once(states: tuple[StateArea, ...]) -> list[StateArea]:
    once = {state.state: state for state in states if state.rings}
    return [once[name] for name in HATCH_OF_STATE if name in once]


def _swept_entries(content: PlanContent) -> list[Entry]:
    once = {area.is_twice: area for area in content.swept}
    return [_hatch_entry(area.hatch, area.words) for _, area in sorted(once.items())]


def _state_entry(state: StateArea) -> Entry:
    return _hatch_entry(HATCH_OF_STATE[state.state], state.word)


def _hatch_entry(hatch: Hatch | None, words: str) -> Entry:
    def sign(at: Point) -> tuple[Item, ...]:
        x, y = at
        corners = ((x - 5, y - 1.7), (x + 5, y - 1.7), (x + 5, y + 1.7), (x - 5, y + 1.7))
        drawn = (hatched(corners, hatch),) if hatch else ()
        return (*drawn, Area(corners))

    return Entry(words, sign, 10.0)


def _sign_entry(symbol: Symbol, words: str) -> Entry:
    role = Role.INK if symbol == Symbol.SPOT else Role.WATER
    return Entry(words, lambda at: (Mark(at, symbol, 3.0, role),), 3.2)


def _counting(content: PlanContent) -> list[Entry]:
    layout = content.layout
    if content.panels:
        return []
    if layout.squares is not None:
        side = with_unit(layout.squares.side_m, layout.system)
        return [Entry(f"squares g(right,up) of {side} from the datum")]
    line = layout.any_baseline
    counted = "center" if line.offset_from == OffsetFrom.CENTER else "left edge"
    words = f"stations along the left edge in {unit_name(layout.system)}; "
    words += f"L and R from the {counted}; pulled straight"
    return [Entry(words)]


def _datum_words(content: PlanContent) -> list[Entry]:
    """The datum as the plan block prints it: where, ties, check length."""
    datum, system = content.layout.datum, content.system
    words = []
    if datum.description:
        words.append(f"datum: {datum.description}")
    if datum.ties:
        unit = f" {unit_name(system)}" if datum.check_length_m is None else ""
        ties = (f"{written_from(tie.distance_m, system):.2f}{unit} {tie.to}" for tie in datum.ties)
        words.append(f"ties {', '.join(ties)}")
    if datum.check_length_m is not None:
        between = f"{datum.check_length_between} " if datum.check_length_between else ""
        digits = 1 if system == System.INCH_POUND else 2
        long = f"{written_from(datum.check_length_m, system):.{digits}f}"
        words.append(f"check {between}{long} {unit_name(system)}")
    if datum.second_mark:
        words.append(f"second mark: {datum.second_mark}")
    if not words:
        return [Entry("datum, ties and check length are not on this plan yet")]
    sign = Entry("; ".join(words), lambda at: (Mark(at, Symbol.DATUM, 2.6),), 3.6)
    return [sign]
