"""Words that several tables share, with the words shown to people."""

from django.db import models


class ReadingSystem(models.TextChoices):
    """The unit system in which something was read or is shown."""

    INCH_POUND = "inch_pound", "ft, in, lb"
    SI = "si", "m, mm, kg"


class Empty(models.TextChoices):
    """The three kinds of empty; blank means nobody has decided yet."""

    NOT_KNOWN = "nk", "not known"
    NOT_MEASURED = "nm", "not measured"
    NOT_APPLICABLE = "na", "does not apply"


class Answer(models.TextChoices):
    """A yes or no that may be open; blank is "not filled in"."""

    YES = "yes", "yes"
    NO = "no", "no"
    NOT_KNOWN = "nk", "not known"


class Source(models.TextChoices):
    """How an entry came to be written."""

    FORM = "form", "typed in here"
    PAPER = "paper", "paper sheet"
    PHONE = "phone", "phone"
    LETTER = "letter", "letter"
    IMPORT = "import", "spreadsheet"
    MEMORY = "memory", "from memory"


class Role(models.TextChoices):
    """What an organisation is to a pavement."""

    OWNER = "owner", "owner"
    MANAGER = "manager", "manager for the owner"
    CONTRACTOR = "contractor", "contractor who placed it"
    PRODUCER = "producer", "concrete producer"
    TESTER = "tester", "tester"
    SWEEPER = "sweeper", "sweeper"
    MUNICIPALITY = "municipality", "municipality"
    EVALUATOR = "evaluator", "evaluator"
    BUYER = "buyer", "buyer in view"


class StratumKind(models.TextChoices):
    """Parts of a surface that take dirt in different ways."""

    RUN_ON_EDGE = "run_on_edge", "run-on edge"
    WHEEL_PATH = "wheel_path", "wheel path"
    FIELD = "field", "stalls or middle"
    LEAF_SIDE = "leaf_side", "leaf side"
    NEW_PANEL = "new_panel", "new panel"
    OTHER = "other", "other"


class Word(models.TextChoices):
    """The condition word."""

    WORKING = "working", "working"
    WATCH = "watch", "watch"
    CLEAN = "clean", "clean"
    RESTORE = "restore", "restore"
    NOT_WORKING = "not_working", "not working"
    NOT_DECIDED = "not_decided", "not decided"
