"""The whole URL map."""

from allauth.account import views as account
from django.urls import URLPattern, URLResolver, include, path, re_path

from registry.views import cleaning, health, home, infiltration_test, pavement_list, units

urlpatterns: list[URLPattern | URLResolver] = [
    path("", home.home, name="home"),
    path("healthz", health.healthz, name="healthz"),
    path("units/", units.units_choose, name="units_choose"),
    # pavements
    path("pavements/", pavement_list.pavement_list, name="pavement_list"),
    path("pavements/map/", pavement_list.pavement_map, name="pavement_map"),
    path("pavements/points/", pavement_list.pavement_points, name="pavement_points"),
    # signing in; nobody signs up and nobody changes an address, so those pages are not here
    path("sign-in/", account.login, name="account_login"),
    path("sign-out/", account.logout, name="account_logout"),
    path("sign-in/closed/", account.account_inactive, name="account_inactive"),
    path("sign-in/again/", account.reauthenticate, name="account_reauthenticate"),
    path("password/", account.password_change, name="account_change_password"),
    path("password/first/", account.password_set, name="account_set_password"),
    path("password/forgotten/", account.password_reset, name="account_reset_password"),
    path(
        "password/forgotten/sent/",
        account.password_reset_done,
        name="account_reset_password_done",
    ),
    re_path(
        r"^password/forgotten/(?P<uidb36>[0-9A-Za-z]+)-(?P<key>.+)/$",
        account.password_reset_from_key,
        name="account_reset_password_from_key",
    ),
    path(
        "password/forgotten/done/",
        account.password_reset_from_key_done,
        name="account_reset_password_from_key_done",
    ),
    path("second-factor/", include("allauth.mfa.urls")),
    # infiltration tests
    path(
        "pavements/<int:pk>/infiltration-tests/add/",
        infiltration_test.infiltration_test_add,
        name="infiltration_test_add",
    ),
    path(
        "infiltration-tests/<int:pk>/",
        infiltration_test.infiltration_test_page,
        name="infiltration_test_page",
    ),
    path(
        "infiltration-tests/<int:pk>/correct/",
        infiltration_test.infiltration_test_correct,
        name="infiltration_test_correct",
    ),
    path(
        "infiltration-tests/<int:pk>/void/",
        infiltration_test.infiltration_test_void,
        name="infiltration_test_void",
    ),
    path(
        "infiltration-tests/<int:pk>/answer/",
        infiltration_test.infiltration_test_answer,
        name="infiltration_test_answer",
    ),
    path(
        "infiltration-tests/<int:pk>/use/",
        infiltration_test.infiltration_test_use,
        name="infiltration_test_use",
    ),
    # cleanings
    path("pavements/<int:pk>/cleanings/add/", cleaning.cleaning_add, name="cleaning_add"),
    path("cleanings/<int:pk>/", cleaning.cleaning_page, name="cleaning_page"),
    path("cleanings/<int:pk>/correct/", cleaning.cleaning_correct, name="cleaning_correct"),
    path("cleanings/<int:pk>/void/", cleaning.cleaning_void, name="cleaning_void"),
]
