"""What each kind of entry is for, in a line, and the cautions of the work behind it."""

from registry.gathering.claim_words import CUTTING, PLACING

PURPOSES = {
    "criteria": "What a permit, contract or house rule asks of the pavement from a day on. The "
    "action level, below which something must be done, follows from it. A new rule is a new set; "
    "the old one keeps its days.",
    "permit_minimum": "How often a permit wants the pavement cleaned, in each of its years.",
    "run_on": "Ground or roof beside the pavement whose rain flows onto it. It raises the rate "
    "that the surface needs.",
    "dirt_source": "What brings dirt to the surface, and who can stop it: a bed, a tree, a haul "
    "road, a soil pile.",
    "structure": "What lies below the surface: layers of stone, cloth, drain, soil. Fill in what "
    "the plans or a core show, and leave the rest blank.",
    "well": "A pipe down to the bottom of the stone, in which the depth of the water is read after "
    "rain.",
    "section": "A part placed, held or reported by itself. A pavement of one piece needs none.",
    "stratum": "A part of the surface that takes dirt in its own way: the edge where water runs "
    "on, the wheel path, the middle, the leaf side. Each is tested and judged apart, for an "
    "average hides a clogged edge. Its place is needed for drawing random spots.",
    "joint": "How panels meet: formed, cut or placed against, how deep, and with what filled.",
    "edge": "What one side of a panel was placed against, and how it was compacted there.",
    "ring": "The ring that holds the water of a test. The rate follows from its inside diameter as "
    "measured: a diameter 1 % off makes the rate 2 % off.",
    "parcel": "A piece of land of the land record, with the days on which it was so cut.",
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
