"""What the fit says of a pavement, on its own page, in lists, on the first page; and the fit."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.core.management import call_command
from django.db.models import F
from django.urls import reverse
from django.utils import timezone

from registry.actions.invent_portfolio import invent_portfolio
from registry.actions.refresh_outlooks import refresh_outlooks
from registry.actions.work_out_outlooks import work_out_outlooks
from registry.gathering.outlook_words import ASSUMED, day_words, money_words
from registry.models import (
    Criteria,
    Due,
    Fit,
    InfiltrationTest,
    Organisation,
    Outlook,
    Pavement,
    Price,
)
from registry.models.choices import Role
from tests.factories import (
    DueFactory,
    MembershipFactory,
    PavementFactory,
    SeatFactory,
    SpotFactory,
    VisitFactory,
)

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def invented(django_db_setup, django_db_blocker):
    """The pk of the owner of eight invented pavements, foretold as of today."""
    with django_db_blocker.unblock():
        owner = invent_portfolio(pavements=8, seed=3, as_of=timezone.now().date())
        work_out_outlooks()
        yield owner.pk
        call_command("flush", "--no-input", verbosity=0)


@pytest.fixture
def owner(invented):
    return MembershipFactory(organisation=Organisation.objects.get(pk=invented))


def seated(role):
    """Somebody with a seat of a role at every pavement."""
    member = MembershipFactory()
    for row in Pavement.objects.all():
        SeatFactory(pavement=row, organisation=member.organisation, role=role)
    return member


def text_of(client, member, address):
    client.force_login(member.person)
    answer = client.get(address)
    assert answer.status_code == 200, answer.status_code
    return answer.content.decode()


def soonest():
    later = Outlook.objects.filter(sweep_by_on__gt=timezone.now().date())
    return later.order_by("sweep_by_on").first()


def test_outlook_page_shows_numbers_methods_and_the_fit(client, owner):
    outlook = soonest()
    text = text_of(client, owner, reverse("outlook_page", args=[outlook.pavement_id]))
    assert f"<strong>{day_words(outlook.sweep_by_on, outlook.as_of_on)}</strong>" in text
    assert "fitted decline, 80 % band" in text
    assert "wash and vacuum" in text
    assert "The price of this method is not known." in text
    assert reverse("fit_page", args=[outlook.fit_id]) in text


def test_outlook_tells_of_water_that_was_seen_as_no_test(client, owner):
    lot = soonest().pavement
    address = reverse("outlook_page", args=[lot.pk])
    for state in ("planned", "done"):
        VisitFactory(
            pavement=lot, state=state, done_on=timezone.now().date(), water_stands="yes",
            water_place="C8", water_minutes=25, rain_mm=20.0, rain_hours=6.0,
        )  # fmt: skip
        said = "Seen at a visit, and no test: Water stood on the surface"
        assert (said in text_of(client, owner, address)) is (state == "done")


def test_method_that_no_test_follows_is_shown_as_a_guess(client, owner):
    outlook = soonest()
    address = reverse("outlook_page", args=[outlook.pavement_id])
    fit = Fit.objects.get()
    tried = [{**one, "cleanings": 3} for one in fit.recoveries]
    Fit._base_manager.filter(pk=fit.pk).update(recoveries=tried)
    assert ASSUMED not in text_of(client, owner, address)
    untried = [{**tried[0], "cleanings": 0}, *tried[1:]]
    Fit._base_manager.filter(pk=fit.pk).update(recoveries=untried)
    text = text_of(client, owner, address)
    assert ASSUMED in text
    assert text.count("no test here follows one") == 2


def test_interval_of_a_method_not_enough_today_is_said_to_hold_only_later(client, owner):
    outlook = soonest()
    address = reverse("outlook_page", args=[outlook.pavement_id])
    later, today = date(2099, 1, 1).isoformat(), outlook.as_of_on.isoformat()
    rows = [{**m, "interval_yr": 0.5, "sweep_by_on": later} for m in outlook.by_method]
    Outlook.objects.filter(pk=outlook.pk).update(by_method=rows)
    assert "once less clogged than today" not in text_of(client, owner, address)
    rows[0]["sweep_by_on"] = today
    Outlook.objects.filter(pk=outlook.pk).update(by_method=rows)
    assert text_of(client, owner, address).count("once less clogged than today") == 1


def test_what_came_in_after_the_fit_is_told(client, owner):
    outlook = soonest()
    address = reverse("outlook_page", args=[outlook.pavement_id])
    came = "came in after that fit was made"
    assert came not in text_of(client, owner, address)
    run = outlook.pavement.infiltration_tests.first()
    InfiltrationTest.objects.filter(pk=run.pk).update(entered_at=timezone.now())
    assert f"1 test or cleaning of this pavement {came}" in text_of(client, owner, address)


def test_prices_give_the_cost_a_year_and_the_proposed_method(client, owner):
    outlook = Outlook.objects.filter(by_method__0__interval_yr__gt=0).first()
    for method, price in (("vacuum", "0.10"), ("broom", "90.0")):
        Price.objects.create(
            organisation=owner.organisation, method_class=method, per_m2=price, currency="$"
        )
    text = text_of(client, owner, reverse("outlook_page", args=[outlook.pavement_id]))
    assert "vacuum, <strong>proposed</strong>" in text
    vacuum = next(m for m in outlook.by_method if m["method"] == "vacuum")
    a_year = 0.10 * outlook.pavement.area_m2 / vacuum["interval_yr"]
    assert f"about $ {money_words(Decimal(a_year))}<" in text


def test_prices_in_two_currencies_are_not_compared(client, owner):
    outlook = Outlook.objects.filter(by_method__0__interval_yr__gt=0).first()
    for method, sign in (("vacuum", "$"), ("broom", "EUR")):
        Price.objects.create(
            organisation=owner.organisation, method_class=method, per_m2="0.1", currency=sign
        )
    text = text_of(client, owner, reverse("outlook_page", args=[outlook.pavement_id]))
    assert "proposed</strong>" not in text


def test_pavement_page_shows_the_band_and_the_day_beside_the_condition(client, owner):
    outlook = soonest()
    text = text_of(client, owner, reverse("pavement_page", args=[outlook.pavement_id]))
    assert "fitted decline, 80 % band" in text
    assert day_words(outlook.sweep_by_on, outlook.as_of_on) in text
    assert "measured readings alone" in text


@pytest.mark.parametrize("role", [Role.CONTRACTOR, Role.TESTER, Role.MUNICIPALITY])
def test_seat_that_does_not_read_all_tests_is_shown_no_outlook(client, invented, role):
    member = seated(role)
    outlook = soonest()
    text = text_of(client, member, reverse("pavement_page", args=[outlook.pavement_id]))
    assert "fitted decline" not in text
    assert reverse("outlook_page", args=[outlook.pavement_id]) not in text
    assert client.get(reverse("outlook_page", args=[outlook.pavement_id])).status_code == 403
    listed = text_of(client, member, reverse("pavement_list"))
    assert day_words(outlook.sweep_by_on, outlook.as_of_on) not in listed
    assert f"{outlook.sweep_by_on:%Y-%m-%d}" not in listed
    assert client.get(reverse("fit_page", args=[outlook.fit_id])).status_code == 404


def test_hidden_outlook_cannot_be_found_by_narrowing(client, invented):
    member = seated(Role.MUNICIPALITY)
    client.force_login(member.person)
    answer = client.get(f"{reverse('pavement_list')}?chance_from=0")
    assert answer.context["rows"] == []


def narrowed(client, member, query):
    client.force_login(member.person)
    answer = client.get(f"{reverse('pavement_list')}?{query}")
    assert answer.status_code == 200
    return [row.pavement.pk for row in answer.context["rows"]], answer


def test_list_is_narrowed_and_sorted_by_day_and_chance(client, owner):
    day = soonest().sweep_by_on
    found, _ = narrowed(client, owner, f"sweep_to={day:%Y-%m-%d}")
    assert set(found) == set(
        Outlook.objects.filter(sweep_by_on__lte=day).values_list("pavement", flat=True)
    )
    found, _ = narrowed(client, owner, "chance_from=10")
    assert set(found) == set(
        Outlook.objects.filter(worst_p_below__gte=0.1).values_list("pavement", flat=True)
    )
    found, _ = narrowed(client, owner, "sort=chance")
    chances = dict(Outlook.objects.values_list("pavement", "worst_p_below"))
    assert [chances[pk] for pk in found] == sorted(chances.values(), reverse=True)
    found, _ = narrowed(client, owner, "sort=sweep")
    days = dict(Outlook.objects.values_list("pavement", "sweep_by_on"))
    assert [days[pk] or date.max for pk in found] == sorted(d or date.max for d in days.values())


def test_list_shows_and_finds_the_chance_of_the_worst_place_with_its_name(client, owner):
    row = soonest()
    Outlook.objects.update(p_below=F("p_below") / 2, worst_p_below=F("p_below") / 2)
    Outlook.objects.filter(pk=row.pk).update(p_below=0.02, worst_p_below=0.87, worst_place="K9")
    found, answer = narrowed(client, owner, "chance_from=87&chance_to=88")
    assert found == [row.pavement_id]
    text = answer.content.decode()
    assert "87 %" in text
    assert "spot K9" in text
    assert row.pavement_id not in narrowed(client, owner, "chance_to=86")[0]
    assert narrowed(client, owner, "sort=chance")[0][0] == row.pavement_id
    page = text_of(client, owner, reverse("pavement_page", args=[row.pavement_id]))
    assert "at the worst place today, spot K9" in page


@pytest.mark.parametrize("value", ["soon", "101", "-1", "nk", "nan", "1e400", "%00"])
def test_chance_that_cannot_be_read_is_named_and_narrows_nothing(client, owner, value):
    found, answer = narrowed(client, owner, f"chance_from={value}&sweep_to={value}")
    assert len(found) == 8
    assert answer.context["form"].errors["chance_from"]


def test_days_to_sweep_by_stand_among_what_needs_the_keeper(client, owner):
    outlook = soonest()
    Due.objects.filter(pavement=outlook.pavement).delete()
    row = DueFactory(pavement=outlook.pavement, reason="the chance reaches 10% that day")
    for on, kind in ((-3, "overdue"), (0, "today"), (30, "ahead")):
        day = timezone.now().date() + timedelta(days=on)
        Due.objects.filter(pk=row.pk).update(latest_on=day, latest_by="fit")
        client.force_login(owner.person)
        needs = client.get(reverse("home")).context["needs"]
        found = [n for n in getattr(needs, kind) if n.row_id == outlook.pavement_id]
        assert [n.what for n in found] == ["Sweep"]
        assert "The chance reaches 10% that day." in found[0].why
    sweeper = seated(Role.SWEEPER)
    client.force_login(sweeper.person)
    assert client.get(reverse("home")).context["needs"].is_empty


def test_where_criteria_are_unknown_the_reason_stands_in_the_place_of_the_number(client, owner):
    outlook = soonest()
    Criteria.objects.filter(pavement=outlook.pavement_id).delete()
    list(refresh_outlooks(as_of=timezone.now().date()))
    for page in ("outlook_page", "pavement_page"):
        text = text_of(client, owner, reverse(page, args=[outlook.pavement_id]))
        assert "Not decided: the action level is not known." in text
    listed = text_of(client, owner, reverse("pavement_list"))
    assert "Not decided: the action level is not known." in listed


def test_pavement_without_an_outlook_says_so(client, owner):
    row = PavementFactory()
    SeatFactory(pavement=row, organisation=owner.organisation)
    text = text_of(client, owner, reverse("outlook_page", args=[row.pk]))
    assert "No outlook has been worked out yet." in text


def test_fit_page_shows_checks_drivers_and_the_back_test(client, owner):
    fit = Fit.objects.get()
    text = text_of(client, owner, reverse("fit_page", args=[fit.pk]))
    for words in (
        "heavy trees",
        "of the clogging",
        "the search came to rest",
        "inside the 80 % interval",
        "last value carried forward",
        "a line for each pavement",
    ):
        assert words in text
    assert "{'" not in text


def test_fit_that_found_nothing_says_why(client, owner):
    fit = Fit.objects.get()
    failed = Fit.objects.create(
        pool=fit.pool,
        as_of_on=fit.as_of_on,
        input_digest="0",
        code_version="x",
        converged=False,
        message="No usable infiltration test: there is nothing to fit.",
    )
    text = text_of(client, owner, reverse("fit_page", args=[failed.pk]))
    assert "there is nothing to fit" in text
    assert "No back-test" in text


def test_pages_ask_as_many_questions_of_a_large_pool(client, owner, django_assert_max_num_queries):
    outlook = soonest()
    pages = [
        reverse("outlook_page", args=[outlook.pavement_id]),
        reverse("fit_page", args=[outlook.fit_id]),
        reverse("pool_page", args=[outlook.fit.pool_id]),
        reverse("pavement_list"),
    ]
    client.force_login(owner.person)

    def counts():
        found = []
        for page in pages:
            with django_assert_max_num_queries(40) as asked:
                client.get(page)
            found.append(len(asked))
        return found

    before = counts()
    for n in range(20):
        row = PavementFactory(name=f"More {n}")
        SeatFactory(pavement=row, organisation=owner.organisation)
        Outlook.objects.create(
            pavement=row, fit=outlook.fit, as_of_on=date(2026, 1, 1), worked_out_at=timezone.now(),
            p_below=0.2, worst_p_below=0.2, sweep_by_on=date(2027, 1, 1),
        )  # fmt: skip
    assert counts() == before


def test_criteria_that_end_before_the_day_to_sweep_by_leave_the_page_whole(client, owner):
    outlook = soonest()
    today = timezone.now().date()
    Criteria.objects.filter(pavement=outlook.pavement_id).update(to_on=today + timedelta(days=1))
    address = reverse("outlook_page", args=[outlook.pavement_id])
    assert "fitted decline, 80 % band" in text_of(client, owner, address)
    assert client.get(f"{address}paper/").status_code == 200
    Criteria.objects.filter(pavement=outlook.pavement_id).update(to_on=None)


def test_page_of_very_many_spots_and_runs_draws_the_lowest_and_says_how_many_it_leaves_out(
    client, owner
):
    outlook = soonest()
    InfiltrationTest.objects.bulk_create(
        InfiltrationTest(
            pavement=outlook.pavement,
            spot=spot,
            method="c1701",
            started_on=date(2022, 1, 1) + timedelta(days=nth),
            system="si",
            ended="drained",
            use="trend",
            state="done",
            result_rate_mm_h=2000.0 + nth,
        )
        for spot in [SpotFactory(pavement=outlook.pavement) for _ in range(120)]
        for nth in range(5)
    )
    address = reverse("outlook_page", args=[outlook.pavement_id])
    text = text_of(client, owner, address)
    assert "spots, each named at its newest reading where there is room" in text
    assert "older runs are not drawn" in text
    assert client.get(f"{address}paper/").status_code == 200
