"""What each kind of entry is for, in a line, and the cautions of the work behind it."""

from registry.gathering.claim_words import CUTTING, PLACING

PURPOSES = {
    "placing_day": "One day of placing at one pavement, with the limits its loads and covers are "
    "held to. Begin it before the first truck; limits may be filled in until it is handed over.",
    "spread": "Where a load lies: lane, from and to along it. Without it no panel can be tied to a "
    "batch ticket.",
    "weather_reading": "Air, humidity, wind and concrete by the hour and at each load; the "
    "evaporation follows.",
    "strike_off": "With what a lane was struck off, in how many passes, and until when.",
    "blemish": "What was seen in the fresh concrete, where, and whether it was put right.",
    "cover": "One strip under one sheet: when its first and its last foot were covered.",
    "cover_walk": "A walk round the covers: when, by whom, what was found.",
    "cover_break": "A time without cover: from when to when, over which panels.",
    "uncover": "When the covers came off; the hours under cover follow.",
    "early_load": "Feet or wheels before the release: when, where, and who saw it.",
    "lot": "What is accepted together, by which rule of the contract. Its tests are held to that "
    "rule; one below it stays below, whatever is tested after.",
    "core": "A core: from where, when, and what was read on it.",
    "holiday_list": "The days of rest that a contract names. Limits in working days are counted "
    "only with this list.",
    "warranty": "The terms as written. Start and years give the last day; the rules of notice give "
    "the day on which a notice counts.",
    "warranty_part": "A part with its own start and years: opened earlier, or renewed.",
    "warranty_cover": "What the terms cover, with its limit and its own years where they set them.",
    "answer_limit": "By when a step is due: days, working or calendar, after which event.",
    "winter_entry": "One plowing or spreading and who says so. Where two sources disagree, write "
    "down both.",
    "repair": "What is taken out and placed anew, and why. New concrete gets a placing day of its "
    "own.",
    "callback_note": "A letter, a call or an event as it was. What is kept inside is seen by your "
    "own side alone.",
    "panel_finding": "What is found to be behind the raveling of one panel, how sure, and what "
    "speaks for and against it. Two causes in one panel are two findings.",
    "panel_evidence": "One sign in one panel: seen, not seen, or not known. It stands beside what "
    "the record says and changes nothing there.",
    "callback_answer": "The written answer: panels accepted, panels declined with clause and "
    "reason, what is done by when, and until when the owner may dispute it.",
    "third_party": "Whom both sides or one of them named, when, and the report.",
    "settlement_line": "Panels, area, price and each party’s share, as both sides signed them.",
    "agreed_date": "A day agreed in place of that of the terms, once the other side confirms it.",
}
"""Kind of entry -> what it is for."""

CAUTIONS = {
    "core": CUTTING,
    "repair": CUTTING,
    **dict.fromkeys(("placing_day", "cover", "cover_walk", "cover_break", "uncover"), PLACING),
    **dict.fromkeys(("strike_off", "blemish", "weather_reading"), PLACING),
}
"""Kind of entry -> the usual cautions of the work it is about."""
