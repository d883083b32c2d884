"""An invented portfolio: the same for a seed, readable by every rule, never twice."""

from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.db import transaction

from registry.actions.judge_tests import judge_tests
from registry.models import Cleaning, InfiltrationTest, Outlook, Pavement

pytestmark = pytest.mark.django_db


def make(pavements=40, seed=9):
    out = StringIO()
    call_command(
        "make_portfolio",
        f"--pavements={pavements}",
        f"--seed={seed}",
        "--as-of=2026-06-30",
        stdout=out,
    )
    return out.getvalue()


def test_it_says_what_it_wrote_and_that_it_is_invented():
    said = make()
    assert f"40 pavements, {InfiltrationTest.objects.count()} infiltration tests" in said
    assert f"{Cleaning.objects.count()} cleanings" in said
    assert "invented" in said


def test_invented_readings_are_judged_as_any_others_would_be():
    make()
    assert InfiltrationTest.objects.filter(use="trend").count() > 100
    assert judge_tests(list(Pavement.objects.values_list("pk", flat=True))) == 0


def test_the_same_seed_invents_the_same():
    times = []
    for seed in (9, 10, 9):
        with transaction.atomic():
            make(seed=seed)
            times.append(list(InfiltrationTest.objects.order_by("pk").values_list("seconds")))
            transaction.set_rollback(True)
    assert times[0] == times[2]
    assert times[0] != times[1]


def test_an_owner_that_is_there_is_refused():
    make()
    with pytest.raises(CommandError, match="in the record already"):
        make()
    assert Pavement.objects.count() == 40


def test_no_pavements_are_refused():
    with pytest.raises(CommandError, match="At least one"):
        make(pavements=0)


def test_its_outlooks_are_worked_out_and_foretold(tmp_path):
    make(pavements=60)
    out = StringIO()
    call_command("backtest_outlooks", "--as-of=2026-06-30", stdout=out)
    assert "nothing to foretell" in out.getvalue()
    call_command("refresh_outlooks", "--as-of=2026-06-30", stdout=StringIO())
    assert Outlook.objects.filter(why_not="").count() == 60
    file = tmp_path / "found.json"
    call_command("backtest_outlooks", "--as-of=2026-06-30", "--json", str(file), stdout=out)
    assert "last value carried forward" in out.getvalue()
    assert '"inside_80"' in file.read_text()
    InfiltrationTest.objects.first().delete()
    call_command("backtest_outlooks", "--as-of=2026-06-30", "--again", stdout=out)
    assert "refresh outlooks first" in out.getvalue()
