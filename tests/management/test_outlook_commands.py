"""The commands of outlooks as a newcomer uses them: names, files that cannot be written, twice."""

import json
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from registry.actions.invent_portfolio import invent_portfolio
from registry.management.commands.refresh_outlooks import read_day
from registry.models import Fit, Outlook, Pavement, PavementNumber, Pool, PoolPlace
from tests import factories

pytestmark = pytest.mark.django_db
AS_OF = read_day("2026-06-30")


@pytest.fixture
def owners():
    return [invent_portfolio(pavements=3, seed=n, as_of=AS_OF) for n in (5, 6)]


def run(name, *given):
    out = StringIO()
    call_command(name, "--as-of=2026-06-30", *given, stdout=out)
    return out.getvalue()


def written(file, name="refresh_outlooks", *given):
    run(name, "--json", str(file), *given)
    return json.loads(file.read_text(encoding="utf-8"))


@pytest.mark.parametrize("name", ["refresh_outlooks", "backtest_outlooks"])
def test_file_that_cannot_be_written_is_refused_before_the_work(name, owners, tmp_path):
    assert owners
    for path, said in ((tmp_path, "is a folder"), (tmp_path / "no" / "x.json", "no folder")):
        with pytest.raises(CommandError, match=said):
            run(name, "--json", str(path))
    assert not Fit.objects.exists()


def test_disk_that_is_full_at_the_end_is_told_and_what_was_done_stays(
    owners, tmp_path, monkeypatch
):
    assert owners

    def full(*args, **more):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_text", full)
    with pytest.raises(CommandError, match=r"No space left on device.*All else was done"):
        run("refresh_outlooks", "--json", str(tmp_path / "x.json"))
    assert Outlook.objects.count() == 6


def test_for_an_organisation_only_its_pools_are_fitted(owners, tmp_path):
    found = written(tmp_path / "x.json", "refresh_outlooks", "--for", owners[1].name)
    assert len(found["pavements"]) == 3
    assert {fit.pool.organisation for fit in Fit.objects.all()} == {owners[1]}
    with pytest.raises(CommandError, match="No organisation is called “Nobody”"):
        run("refresh_outlooks", "--for", "Nobody")


def test_for_a_town_without_a_seat_the_pool_it_runs_is_fitted(owners):
    town = factories.OrganisationFactory(name="Town")
    pool = Pool.objects.create(organisation=town, name="All", is_own=False)
    lot = Pavement.objects.filter(entered_for=owners[0]).first()
    PoolPlace.objects.create(pavement=lot, pool=pool, by_document="permit", from_on=AS_OF)
    run("refresh_outlooks", "--for", "Town")
    assert [fit.pool for fit in Fit.objects.all()] == [pool]


def test_pavement_without_a_number_is_in_the_file_by_its_record(owners, tmp_path):
    assert owners
    lot = Pavement.objects.first()
    PavementNumber.objects.filter(pavement=lot).delete()
    found = written(tmp_path / "x.json")
    assert len(found["pavements"]) == 6
    assert found["pavements"][f"record-{lot.pk}"]["rate"] > 0


def test_two_pools_of_one_name_both_stand_in_the_files(owners, tmp_path):
    towns = [factories.OrganisationFactory(name=name) for name in ("North", "South")]
    for town, owner in zip(towns, owners, strict=True):
        pool = Pool.objects.create(organisation=town, name="All lots", is_own=False)
        for lot in Pavement.objects.filter(entered_for=owner):
            PoolPlace.objects.create(pavement=lot, pool=pool, by_document="permit", from_on=AS_OF)
    both = {"North/All lots", "South/All lots"}
    assert set(written(tmp_path / "x.json")["pools"]) == both
    assert set(written(tmp_path / "y.json", "backtest_outlooks")["pools"]) == both


def test_twice_the_same_gives_the_same_file_and_no_new_fit(owners, tmp_path):
    assert owners
    first = written(tmp_path / "x.json")
    assert written(tmp_path / "y.json") == first
    assert Fit.objects.count() == 2


def test_seed_below_zero_is_refused():
    with pytest.raises(CommandError, match="0 or more"):
        call_command("make_portfolio", "--pavements=3", "--seed=-1", stdout=StringIO())
    assert not Pavement.objects.exists()
