"""Page of loads and panels, record of the dossier and its recheck: one rule, one seed, one result.

The rows are those of the invented town's dispute; its front figures are held elsewhere.
"""

from datetime import UTC, date, datetime

import pytest
from django.urls import reverse

from registry.dossier import Book, add_every_figure
from registry.dossier.late_figures import PAIRS, loads_of
from registry.exchange import recheck_formulas
from registry.gathering.dossier_book import book_of, whole_record
from registry.gathering.load_page import look_figures
from registry.gathering.load_pattern import looks_of, placed_loads
from registry.models import Load, Panel, PlacingDay
from registry.placing.pattern import SEED, SHUFFLES
from tests.claim_rows import notice, terms
from tests.dossier.books import dispute_book
from tests.placing_factories import RaveledShareFactory, WarrantyPartFactory, WinterEntryFactory
from tests.placing_rows import north_lot
from tests.views.record import manager_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def callback(db):
    return notice(terms(pavement=north_lot()), panels=["C4", "C8", "D10"])


def book(callback) -> Book:
    return book_of(callback, whole_record(callback), {}, system="inch_pound", prepared="")


def page_figures(callback):
    days = list(PlacingDay.objects.filter(pavement=callback.pavement).in_order())
    placed, _ = placed_loads(callback.pavement, days)
    looks = looks_of(placed.shares, callback.pavement.raveled_shares.standing())
    return look_figures(placed, looks, None)


def given(record: Book, name: str) -> dict:
    """Readings of a figure by name, as the script of the archive takes them."""
    figure = record.figures[name]
    inputs = {key: [one.value for one in each] for key, each in figure.inputs.items()}
    return inputs | dict(figure.constants)


def agree(callback) -> Book:
    """Hold page, record and the script's own formulas together; return the record."""
    page, record = page_figures(callback), book(callback)
    for line in page.pattern.lines:
        name = f"tau-b of {line.factor.code}"
        assert record.value(name) == line.tau
        assert record.value(f"p of {name}") == line.p
        assert record.figures[name].constants["loads"] == line.n
        assert record.figures[f"p of {name}"].constants["seed"] == page.pattern.seed == SEED
        assert record.figures[f"p of {name}"].constants["shuffles"] == SHUFFLES
        assert recheck_formulas.tau(given(record, name)) == pytest.approx(line.tau, abs=1e-12)
    assert len(page.late) == len(PAIRS)
    for group, (late, rest) in zip(page.late, PAIRS, strict=True):
        for name, side in ((late, group.compared.group), (rest, group.compared.rest)):
            assert loads_of(record, name) == ", ".join(side.names)
            assert record.value(name) == pytest.approx(side.mean, rel=1e-9)
            assert recheck_formulas.late_mean(given(record, name)) == pytest.approx(side.mean)
            assert f"{group.rule.words} ({group.rule.source})" in record.figures[name].says
    return record


def test_page_record_and_recheck_give_the_same(callback, client):
    record = agree(callback)
    assert [loads_of(record, late) for late, _ in PAIRS] == ["7, 8, 9", "6, 7, 8, 9"]
    _, manager = manager_of(callback.pavement)
    client.force_login(manager)
    answer = client.get(reverse("load_panels", args=[callback.pavement_id]))
    text = " ".join(answer.content.decode().split())
    assert "Late is over 25 min (house rule, no source). Loads 7, 8, 9: 30.0 % of" in text
    assert "Late is over 20 min (limit of the placing day). Loads 6, 7, 8, 9: 23.1 % of" in text
    assert f"{SHUFFLES} times, seed {SEED}" in text


def test_they_agree_where_a_time_and_a_part_of_the_water_are_not_known(callback):
    Load.objects.filter(number="9").update(cover_last_at=None)
    Load.objects.filter(number__in=("3", "4")).update(site_water_l=None)
    record = agree(callback)
    assert loads_of(record, PAIRS[0][0]) == "7, 8"
    assert record.figures["tau-b of water"].constants["loads"] == 16
    assert record.not_given["left out of tau-b of water"].startswith("2 loads left out (3, 4)")


def test_they_agree_where_the_days_have_limits_of_their_own(callback):
    first, second = PlacingDay.objects.filter(pavement=callback.pavement).in_order()
    PlacingDay.objects.filter(pk=first.pk).update(cover_within_min=40)
    PlacingDay.objects.filter(pk=second.pk).update(cover_within_min=None)
    record = agree(callback)
    late, rest = PAIRS[1]
    assert loads_of(record, late) == "8, 9"
    assert loads_of(record, rest) == "1, 2, 3, 4, 5, 6, 7"  # the other day has no limit
    assert "2023-08-22: 40 min, 2023-08-24: no limit" in record.figures[late].says


def test_claim_on_one_day_alone_is_set_against_the_loads_of_all_days_as_on_the_page(callback):
    """The cool, prompt second day shows that the mix was sound: its loads stay in."""
    for panel in callback.pavement.panels.all():
        panel.placed_on = date(2023, 8, 22 if panel.name[0] in "AC" else 24)
        panel.save(update_fields=["placed_on"])
    callback.panels = ["C8", "C9"]
    record = agree(callback)
    assert record.figures["tau-b of lag"].constants["loads"] == 18


def test_looks_and_salt_on_concrete_that_was_taken_out_tell_nothing_of_the_new(callback):
    """C8 was replaced on 2025-05-13: what lay there before bears the same name."""
    lot, new_on = callback.pavement, date(2025, 5, 13)
    old = lot.panels.get(name="C8")
    Panel.objects.filter(pk=old.pk).update(exists_to_on=new_on)
    new = Panel.objects.get(pk=old.pk)
    new.pk, new.exists_from_on, new.exists_to_on, new.placed_on = None, new_on, None, new_on
    new.save(force_insert=True)
    WinterEntryFactory(pavement=lot, panels=["C8"], deicer_kg=34)  # of 2023-12-19
    RaveledShareFactory(pavement=lot, panel="C8", looked_on=date(2026, 4, 1), share=0.9)
    before = book(callback)
    assert "C8 2024-10-09" in before.of("looks") and "C8 2026-04-01" not in before.of("looks")
    assert before.read("panels", "C8", "in_winter_zone") is True

    received = datetime(2026, 5, 29, 12, tzinfo=UTC)
    later = notice(callback.warranty, number="CB-8", panels=["C8"], received_at=received)
    after = book(later)
    assert list(after.of("looks")) == ["C8 2026-04-01"]
    assert after.read("panels", "C8", "in_winter_zone") is None


def test_claim_over_two_parts_and_a_cover_ended_early_are_not_told_by_one_last_day(callback):
    """C4 is of the rest, C8 and D10 of a part that began before the notice of 2024-04-29."""
    assert book(callback).value("notice in time") is True
    part = WarrantyPartFactory(
        warranty=callback.warranty, panels=["C8", "D10"], start_on=date(2024, 4, 1), name="new"
    )
    assert "notice in time" in book(callback).not_given
    part.panels = ["C4", "C8", "D10"]
    part.ended_early_on = date(2024, 4, 20)
    part.save(update_fields=["panels", "ended_early_on"])
    record = book(callback)
    assert "Ended by agreement on 2024-04-20" in record.not_given["last day of new"]
    assert "notice in time" in record.not_given


def test_recheck_picks_the_late_loads_by_the_times_it_was_given():
    record = dispute_book()
    add_every_figure(record)
    late = PAIRS[0][0]
    x = given(record, late)
    moved = x | {"lags": [20.0 if lag == 37 else lag for lag in x["lags"]]}
    assert recheck_formulas.late_mean(moved) > record.value(late) + 0.05
    with pytest.raises(recheck_formulas.Differs, match="25 min"):
        recheck_formulas.late_mean(x | {"limit_min": 20.0})
