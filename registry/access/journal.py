"""Which lines of the journal a person reads: none of an entry that the person may not see.

Who reads all of a pavement's record reads all of its journal, save what comes later or never: the
placing record before its hand-over, pour plans that were not shown, for a buyer the callbacks that
are over and the dossiers, of which the parties alone know.
"""

from django.db.models import Model, Q, QuerySet

from registry.access.callbacks import visible_callbacks
from registry.access.holding import rights_at
from registry.access.placing import visible_placing_days
from registry.access.pour_plans import visible_pour_plans
from registry.models import (
    AgreedDate,
    Blemish,
    Callback,
    CallbackAnswer,
    CallbackAttachment,
    CallbackNote,
    Cover,
    CoverBreak,
    CoverWalk,
    Dossier,
    EarlyLoad,
    JournalLine,
    Load,
    PanelEvidence,
    PanelFinding,
    Pavement,
    Person,
    PlacingDay,
    PourPlan,
    SettlementLine,
    Spread,
    StrikeOff,
    ThirdParty,
    Uncover,
    WeatherReading,
)
from registry.models.choices import Role
from registry.models.rights import KEEPERS, READERS_OF_ALL, Rights

OF_A_DAY: tuple[type[Model], ...] = (
    Load, WeatherReading, StrikeOff, Blemish, Cover, CoverWalk, CoverBreak, Uncover, EarlyLoad,
)  # fmt: skip
OF_A_CALLBACK: tuple[type[Model], ...] = (
    AgreedDate, CallbackAnswer, CallbackAttachment, CallbackNote, PanelEvidence, PanelFinding,
    SettlementLine, ThirdParty, Dossier,
)  # fmt: skip


def visible_journal(person: Person, pavement: Pavement) -> QuerySet[JournalLine]:
    """Return journal lines: all of what they see to those who read all, else one's own side's.

    A contractor reads too who had which dossier of a callback that it answers. Prices in them: see
    `with_prices_hidden`.
    """
    lines = JournalLine.objects.filter(pavement=pavement).select_related("by", "by_organisation")
    rights = rights_at(person, pavement)
    own = Q(by_organisation__in=rights.organisations)
    if rights.roles & READERS_OF_ALL:
        return lines.filter(own | ~_unseen(person, pavement, rights))
    sides = [seat.organisation_id for seat in rights.seats if seat.role == Role.CONTRACTOR]
    asked = Dossier.objects.filter(callback__pavement=pavement, callback__contractor__in=sides)
    return lines.filter(own | _about(Dossier, asked))


def _unseen(person: Person, pavement: Pavement, rights: Rights) -> Q:
    """Return the condition of lines about what even who reads all does not see."""
    seen_days = visible_placing_days(person, pavement).values("pk")
    days = PlacingDay.objects.filter(pavement=pavement).exclude(pk__in=seen_days)
    plans = visible_pour_plans(person, pavement).values("pk")
    found = _about(PlacingDay, days)
    for model in OF_A_DAY:
        rows = model._default_manager.filter(placing_day__in=days.values("pk"))
        found |= _about(model, rows)
    found |= _about(Spread, Spread.objects.filter(load__placing_day__in=days.values("pk")))
    found |= _about(PourPlan, PourPlan.objects.filter(pavement=pavement).exclude(pk__in=plans))
    if rights.roles & (KEEPERS | {Role.EVALUATOR}):
        return found
    seen = visible_callbacks(person, pavement).values("pk")
    over = Callback.objects.filter(pavement=pavement).exclude(pk__in=seen)
    found |= _about(Callback, over) | Q(subject_kind=Dossier._meta.model_name)
    for model in OF_A_CALLBACK:
        rows = model._default_manager.filter(callback__in=over.values("pk"))
        found |= _about(model, rows)
    return found


def _about(model: type[Model], rows: QuerySet) -> Q:
    return Q(subject_kind=model._meta.model_name, subject_id__in=rows.values("pk"))
