"""The whole URL map."""

from allauth.account import views as account
from django.urls import URLPattern, URLResolver, include, path, re_path

from registry.views import (
    cleaning,
    datum,
    entry,
    export,
    health,
    home,
    import_batch,
    infiltration_test,
    invitation,
    organisation,
    outlook,
    panel,
    pavement,
    pavement_facts,
    pavement_list,
    person,
    plan,
    ring,
    sale,
    seat,
    sheet,
    site,
    spot,
    timeline,
    units,
)

urlpatterns: list[URLPattern | URLResolver] = [
    path("", home.home, name="home"),
    path("healthz", health.healthz, name="healthz"),
    path("units/", units.units_choose, name="units_choose"),
    # pavements
    path("pavements/", pavement_list.pavement_list, name="pavement_list"),
    path("pavements/map/", pavement_list.pavement_map, name="pavement_map"),
    path("pavements/points/", pavement_list.pavement_points, name="pavement_points"),
    path("pavements/add/", pavement_facts.pavement_add, name="pavement_add"),
    path("pavements/<int:pk>/", pavement.pavement_page, name="pavement_page"),
    path("pavements/<int:pk>/record/", pavement_facts.pavement_edit, name="pavement_edit"),
    path("pavements/<int:pk>/correct/", pavement_facts.pavement_correct, name="pavement_correct"),
    path("pavements/<int:pk>/move/", pavement_facts.pavement_move, name="pavement_move"),
    path("pavements/<int:pk>/numbers/add/", pavement_facts.pavement_number, name="pavement_number"),
    path(
        "pavements/<int:pk>/numbers/<int:row>/take-back/",
        pavement_facts.pavement_number_take_back,
        name="pavement_number_take_back",
    ),
    path("pavements/<int:pk>/timeline/", timeline.pavement_timeline, name="pavement_timeline"),
    # sites, and entries that are alike: the kind of entry, then to what it belongs
    path("sites/", site.site_list, name="site_list"),
    path("sites/add/", site.site_add, name="site_add"),
    path("sites/<int:pk>/", site.site_page, name="site_page"),
    path("sites/<int:pk>/correct/", site.site_correct, name="site_correct"),
    path("record/<slug:noun>/<int:pk>/add/", entry.entry_add, name="entry_add"),
    path(
        "record/<slug:noun>/<int:pk>/<int:row>/correct/", entry.entry_correct, name="entry_correct"
    ),
    path("record/<slug:noun>/<int:pk>/<int:row>/end/", entry.entry_end, name="entry_end"),
    path("record/<slug:noun>/<int:pk>/<int:row>/void/", entry.entry_void, name="entry_void"),
    path("organisations/<int:pk>/rings/", ring.ring_list, name="ring_list"),
    # plans and panels
    path("pavements/<int:pk>/plan/", plan.plan_page, name="plan_page"),
    path("pavements/<int:pk>/plan/add/<slug:kind>/", plan.plan_add, name="plan_add"),
    path("pavements/<int:pk>/plan/correct/", plan.plan_correct, name="plan_correct"),
    path("pavements/<int:pk>/plan/resurvey/", plan.plan_resurvey, name="plan_resurvey"),
    path("pavements/<int:pk>/plan/datum-lost/", datum.datum_lost, name="datum_lost"),
    path("pavements/<int:pk>/plan/datum-rebuild/", datum.datum_rebuild, name="datum_rebuild"),
    path("pavements/<int:pk>/panels/add/", panel.panel_add, name="panel_add"),
    path("pavements/<int:pk>/panels/<int:row>/", panel.panel_page, name="panel_page"),
    path("pavements/<int:pk>/panels/<int:row>/correct/", panel.panel_correct, name="panel_correct"),
    path("pavements/<int:pk>/panels/<int:row>/replace/", panel.panel_replace, name="panel_replace"),
    path("pavements/<int:pk>/panels/<int:row>/cut/", panel.panel_cut, name="panel_cut"),
    path("pavements/<int:pk>/panels/<int:row>/end/", panel.panel_end, name="panel_end"),
    # spots and draws
    path("pavements/<int:pk>/spots/", spot.spot_list, name="spot_list"),
    path("pavements/<int:pk>/spots/add/", spot.spot_add, name="spot_add"),
    path("pavements/<int:pk>/spots/draw/", spot.spot_draw_add, name="spot_draw_add"),
    path("pavements/<int:pk>/spots/draws/<int:row>/", spot.spot_draw_page, name="spot_draw_page"),
    path("pavements/<int:pk>/spots/<int:row>/correct/", spot.spot_correct, name="spot_correct"),
    path("pavements/<int:pk>/spots/<int:row>/end/", spot.spot_end, name="spot_end"),
    path("pavements/<int:pk>/spots/<int:row>/skip/", spot.spot_skip, name="spot_skip"),
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
    # seats
    path("pavements/<int:pk>/seats/", seat.seat_list, name="seat_list"),
    path("pavements/<int:pk>/seats/add/", seat.seat_add, name="seat_add"),
    path("seats/<int:pk>/end/", seat.seat_end, name="seat_end"),
    path("pavements/<int:pk>/sell/", sale.pavement_sell, name="pavement_sell"),
    path("pavements/<int:pk>/split/", sale.pavement_split, name="pavement_split"),
    # people and organisations
    path("you/", person.person_page, name="person_page"),
    path("organisations/", organisation.organisation_list, name="organisation_list"),
    path("organisations/<int:pk>/", organisation.organisation_page, name="organisation_page"),
    path("organisations/<int:pk>/invite/", invitation.invitation_add, name="invitation_add"),
    path("members/<int:pk>/end/", organisation.membership_end, name="membership_end"),
    path(
        "invitations/<int:pk>/withdraw/",
        invitation.invitation_withdraw,
        name="invitation_withdraw",
    ),
    path("invitation/<str:token>/", invitation.invitation_accept, name="invitation_accept"),
    # infiltration tests
    path(
        "pavements/<int:pk>/infiltration-tests/",
        infiltration_test.infiltration_test_list,
        name="infiltration_test_list",
    ),
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
    # outlooks and the fits behind them
    path("pavements/<int:pk>/outlook/", outlook.outlook_page, name="outlook_page"),
    path("fits/<int:pk>/", outlook.fit_page, name="fit_page"),
    # cleanings
    path("pavements/<int:pk>/cleanings/add/", cleaning.cleaning_add, name="cleaning_add"),
    path("cleanings/<int:pk>/", cleaning.cleaning_page, name="cleaning_page"),
    path("cleanings/<int:pk>/correct/", cleaning.cleaning_correct, name="cleaning_correct"),
    path("cleanings/<int:pk>/void/", cleaning.cleaning_void, name="cleaning_void"),
    # sheets
    path("pavements/<int:pk>/sheets/print/", sheet.sheet_print, name="sheet_print"),
    path("sheets/", sheet.sheet_list, name="sheet_list"),
    path("sheets/blank/", sheet.sheet_blank, name="sheet_blank"),
    path("sheets/<str:number>/", sheet.sheet_page, name="sheet_page"),
    path("sheets/<str:number>/double/<int:pk>/", sheet.sheet_hold_double, name="sheet_hold_double"),
    # spreadsheets
    path("spreadsheets/", import_batch.import_page, name="import_page"),
    path("spreadsheets/out/", export.export_page, name="export_page"),
    path("spreadsheets/out/<slug:form>/", export.export_file, name="export_file"),
    path("spreadsheets/<int:pk>/", import_batch.import_batch_page, name="import_batch_page"),
    path(
        "spreadsheets/<int:pk>/store/", import_batch.import_batch_store, name="import_batch_store"
    ),
    path("spreadsheets/<int:pk>/stop/", import_batch.import_batch_stop, name="import_batch_stop"),
    path(
        "spreadsheets/<int:pk>/take-back/",
        import_batch.import_batch_take_back,
        name="import_batch_take_back",
    ),
]
