"""What the access table's pages of placing, warranty and callback are about."""

from datetime import date, datetime, timedelta

from registry.models import Organisation, Pavement, PrintedSheet
from tests.placing_factories import (
    AgreedDateFactory,
    CallbackAnswerFactory,
    CallbackFactory,
    CallbackNoteFactory,
    DossierFactory,
    HandOverFactory,
    HolidayListFactory,
    LoadFactory,
    LotFactory,
    PlacingDayFactory,
    PourPlanFactory,
    RepairFactory,
    WarrantyFactory,
    WarrantyPartFactory,
    WinterEntryFactory,
)

Subjects = dict[str, tuple[object, ...]]


def claimed(pavement: Pavement, by: dict[str, Organisation], now: datetime) -> Subjects:
    """A running warranty with an open callback, one closed and one sent in, a log, a repair."""
    placer, manager = by["contractor in warranty"], by["manager"]
    given = {"pavement": pavement, "entered_for": placer}
    holidays = HolidayListFactory(organisation=manager)
    terms = WarrantyFactory(
        **given, contractor=placer, start_on=now.date() - timedelta(days=700), state="running"
    )
    part = WarrantyPartFactory(warranty=terms)
    claim = {**given, "contractor": placer, "warranty": terms, "counted_on": now.date()}
    opened = CallbackFactory(**claim, state="visited")
    closed = CallbackFactory(**claim, state="closed")
    sent = CallbackFactory(**claim, submitted_on=now.date())
    note = CallbackNoteFactory(callback=opened, entered_for=placer)
    inside = CallbackNoteFactory(
        callback=opened, entered_for=placer, kind="inside", inside_of=placer
    )
    answer = CallbackAnswerFactory(callback=opened, entered_for=placer)
    said = AgreedDateFactory(callback=opened, entered_for=placer)
    winter = WinterEntryFactory(pavement=pavement, entered_for=manager)
    repair = RepairFactory(pavement=pavement, callback=opened, entered_for=placer)
    dossier = DossierFactory(callback=opened, for_organisation=placer)
    return {
        **placed(pavement, placer, now),
        "contractor's dossier": (dossier.pk,),
        "file of the contractor's dossier": (dossier.pk, "pdf"),
        "contractor's organisation": (placer.pk,),
        "holidays of the manager": (manager.pk,),
        "holiday list": ("holiday_list", manager.pk, holidays.pk),
        "warranty": (terms.pk,),
        "part of the warranty": ("warranty_part", terms.pk, part.pk),
        "kind and warranty": ("answer_limit", terms.pk),
        "terms and pavement": ("warranty", pavement.pk),
        "open callback": (opened.pk,),
        "closed callback": (closed.pk,),
        "submitted callback": (sent.pk,),
        "note and callback": ("callback_note", opened.pk),
        "answer and callback": ("callback_answer", opened.pk),
        "agreed date and callback": ("agreed_date", opened.pk),
        "date the contractor said": (opened.pk, said.pk),
        "finding and callback": ("panel_finding", opened.pk),
        "contractor's note": ("callback_note", opened.pk, note.pk),
        "contractor's note kept inside": ("callback_note", opened.pk, inside.pk),
        "contractor's answer": ("callback_answer", opened.pk, answer.pk),
        "winter line and pavement": ("winter_entry", pavement.pk),
        "line of the winter log": ("winter_entry", pavement.pk, winter.pk),
        "repair and pavement": ("repair", pavement.pk),
        "contractor's repair": (pavement.pk, repair.pk),
    }


def placed(pavement: Pavement, placer: Organisation, now: datetime) -> Subjects:
    """A day that was handed over, one of a repair that was not, a load and a lot of the first."""
    given = {"pavement": pavement, "entered_for": placer}
    old = PlacingDayFactory(**given, placed_on=date(2023, 8, 22))
    handed = HandOverFactory(
        pavement=pavement,
        giver=placer,
        taker=placer,
        is_first=True,
        effective_at=now - timedelta(days=400),
        state="in_effect",
        entered_for=placer,
    )
    repair = RepairFactory(**given)
    new = PlacingDayFactory(**given, placed_on=now.date() - timedelta(days=3), repair=repair)
    load = LoadFactory(placing_day=new, entered_for=placer)
    lot = LotFactory(pavement=pavement, placing_day=old, entered_for=placer)
    own_plan = PourPlanFactory(**given)
    shown_plan = PourPlanFactory(**given, shown_on=now.date())
    for number, day in (("LOD-0900", new), ("LOD-0901", old)):
        PrintedSheet.objects.create(
            number=number, kind="load", pavement=pavement, system="si", paper="a4",
            content={"placing_day": day.pk},
        )  # fmt: skip
    for number, day in (("COV-0900", new), ("COV-0901", old)):
        PrintedSheet.objects.create(
            number=number, kind="cover", pavement=pavement, system="si", paper="a4",
            content={"placing_day": day.pk},
        )  # fmt: skip
    return {
        "cover card of a repair": ("COV-0900",),
        "cover card handed over": ("COV-0901",),
        "contractor's pour plan": (own_plan.pk,),
        "pour plan shown": (shown_plan.pk,),
        "pour plan to void": ("pour_plan", pavement.pk, own_plan.pk),
        "pour plan and pavement": ("pour_plan", pavement.pk),
        "load sheet of a repair": ("LOD-0900",),
        "load sheet handed over": ("LOD-0901",),
        "placing day handed over": (old.pk,),
        "placing day of a repair": (new.pk,),
        "load of a repair": (load.pk,),
        "load and its day": (new.pk, load.pk),
        "load to void": ("load", new.pk, load.pk),
        "day and pavement": ("placing_day", pavement.pk),
        "contractor's placing day": ("placing_day", pavement.pk, old.pk),
        "spread and load": ("spread", load.pk),
        "weather and day": ("weather_reading", new.pk),
        "cover and day handed over": ("cover", old.pk),
        "lot and pavement": ("lot", pavement.pk),
        "core and pavement": ("core", pavement.pk),
        "lot": (pavement.pk, lot.pk),
        "certificate": (pavement.pk, handed.pk),
    }
