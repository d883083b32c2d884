"""The part of the URL map from the placing day to the end of the warranty; see `urls.py`."""

from django.urls import URLPattern, path

from registry.views import (
    agreed_date,
    callback,
    callback_panels,
    callback_recount,
    dossier,
    dossier_file,
    hand_over,
    load,
    load_panels,
    lot,
    placing_day,
    placing_sheet,
    placing_years,
    pour_plan,
    repair,
    warranty,
    winter_log,
)

PLACING: list[URLPattern] = [
    # placing days, loads, lots
    path("pavements/<int:pk>/placing/", placing_day.placing_day_list, name="placing_day_list"),
    path("placing-days/<int:pk>/", placing_day.placing_day_page, name="placing_day_page"),
    path("placing-days/<int:pk>/loads/add/", load.load_add, name="load_add"),
    path("placing-days/<int:pk>/loads/figures/", load.load_figures, name="load_figures"),
    path("placing-days/<int:pk>/loads/<int:row>/correct/", load.load_correct, name="load_correct"),
    path("placing-days/<int:pk>/loads/<int:row>/move/", load.load_move, name="load_move"),
    path("pavements/<int:pk>/pour-plans/", pour_plan.pour_plan_list, name="pour_plan_list"),
    path("pavements/<int:pk>/pour-plans/add/", pour_plan.pour_plan_add, name="pour_plan_add"),
    path(
        "pavements/<int:pk>/pour-plans/figures/",
        pour_plan.pour_plan_figures,
        name="pour_plan_figures",
    ),
    path("pour-plans/<int:pk>/", pour_plan.pour_plan_page, name="pour_plan_page"),
    path("pour-plans/<int:pk>/correct/", pour_plan.pour_plan_correct, name="pour_plan_correct"),
    path("pour-plans/<int:pk>/paper/", pour_plan.pour_plan_paper, name="pour_plan_paper"),
    path("placing-days/<int:pk>/print/", placing_sheet.placing_sheet, name="placing_sheet"),
    path("loads/<int:pk>/spreads/", load.load_spreads, name="load_spreads"),
    path("pavements/<int:pk>/lots/", lot.lot_list, name="lot_list"),
    path("pavements/<int:pk>/lots/<int:row>/move/", lot.lot_move, name="lot_move"),
    path("pavements/<int:pk>/loads/", load_panels.load_panels, name="load_panels"),
    path("pavements/<int:pk>/raveled/", load_panels.raveled_add, name="raveled_add"),
    path("pavements/<int:pk>/hand-overs/add/", hand_over.hand_over_add, name="hand_over_add"),
    path(
        "pavements/<int:pk>/hand-overs/<int:row>/", hand_over.hand_over_page, name="hand_over_page"
    ),
    path(
        "pavements/<int:pk>/hand-overs/<int:row>/move/",
        hand_over.hand_over_move,
        name="hand_over_move",
    ),
    path(
        "pavements/<int:pk>/hand-overs/<int:row>/paper/",
        hand_over.hand_over_paper,
        name="hand_over_paper",
    ),
    # warranty, callbacks, winter log, repairs
    path("organisations/<int:pk>/holidays/", warranty.holiday_lists, name="holiday_lists"),
    path("pavements/<int:pk>/warranty/", warranty.warranty_list, name="warranty_list"),
    path("warranties/<int:pk>/", warranty.warranty_page, name="warranty_page"),
    path("warranties/<int:pk>/move/", warranty.warranty_move, name="warranty_move"),
    path("callbacks/", callback.callback_list, name="callback_list"),
    path(
        "organisations/<int:pk>/placing-years/",
        placing_years.placing_years_page,
        name="placing_years_page",
    ),
    path(
        "organisations/<int:pk>/placing-years/file.csv",
        placing_years.placing_years_file,
        name="placing_years_file",
    ),
    path("pavements/<int:pk>/callbacks/add/", callback.callback_add, name="callback_add"),
    path("callbacks/<int:pk>/", callback.callback_page, name="callback_page"),
    path("callbacks/<int:pk>/move/", callback.callback_move, name="callback_move"),
    path("callbacks/<int:pk>/correct/", callback.callback_correct, name="callback_correct"),
    path("callbacks/<int:pk>/recount/", callback_recount.callback_recount, name="callback_recount"),
    path(
        "callbacks/<int:pk>/agreed-dates/<int:row>/confirm/",
        agreed_date.agreed_date_confirm,
        name="agreed_date_confirm",
    ),
    path("callbacks/<int:pk>/panels/", callback_panels.callback_panels, name="callback_panels"),
    path("callbacks/<int:pk>/dossiers/", dossier.dossier_list, name="dossier_list"),
    path("dossiers/<int:pk>/", dossier.dossier_page, name="dossier_page"),
    path("dossiers/<int:pk>/stop/", dossier.dossier_stop, name="dossier_stop"),
    path("dossiers/<int:pk>/file.<slug:kind>", dossier_file.dossier_file, name="dossier_file"),
    path("pavements/<int:pk>/winter/", winter_log.winter_log, name="winter_log"),
    path("pavements/<int:pk>/repairs/", repair.repair_list, name="repair_list"),
    path("pavements/<int:pk>/repairs/<int:row>/", repair.repair_page, name="repair_page"),
    path("pavements/<int:pk>/repairs/<int:row>/move/", repair.repair_move, name="repair_move"),
]
