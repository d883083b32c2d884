"""Sites: add one, look at it, correct it."""

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.db.models import Q, QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from registry import access
from registry.actions.add_pavement import add_site
from registry.actions.correct_entry import correct_entry
from registry.forms.parcel import ParcelForm
from registry.forms.reason import ReasonForm
from registry.forms.site import SiteForm, SiteOfForm
from registry.gathering.site_facts import site_facts
from registry.models import Person, Site
from registry.units import System
from registry.views.corrected import tell_corrected
from registry.views.entry import try_action
from registry.views.parents import NOUNS, keeper_of


@require_http_methods(["GET"])
def site_list(request: HttpRequest) -> HttpResponse:
    """List the sites a person sees, each told from others of its name by its address."""
    sites = access.visible_sites(request.user).order_by("name", "address", "pk")
    return render(request, "site/list.html", {"sites": sites})


@require_http_methods(["GET", "POST"])
def site_add(request: HttpRequest) -> HttpResponse:
    """Add a site; a name that is known already is asked about with its address."""
    form = SiteOfForm(
        request.POST or None,
        known=access.visible_sites(request.user).filter(void_at__isnull=True),
        own=sites_kept(request.user),
        organisations=access.organisations_of(request.user),
    )
    if request.method == "POST" and form.is_valid():
        organisation = form.cleaned_data["organisation"]
        row = try_action(form, add_site, form.site(), by=request.user, organisation=organisation)
        if row is not None:
            messages.success(request, f"Stored: site {row}.", extra_tags="site-add")
            return redirect("site_page", row.pk)
    return render(request, "site/add.html", {"form": form})


@require_http_methods(["GET"])
def site_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a site, its parcels and its pavements."""
    site = access.get_site(request.user, pk)
    context = {
        "site": site,
        "facts": site_facts(site, System(request.user.shown_system)),
        "pavements": access.visible_pavements(request.user).filter(site=site),
        "windows": site.windows.select_related("pavement"),
        "parcels": ParcelForm.rows(site).select_related("split_from", "merged_into"),
        "parcel": NOUNS["parcel"],
        "may_edit": _may_edit(request.user, site),
    }
    return render(request, "site/page.html", context)


def sites_kept(person: Person) -> QuerySet[Site]:
    """Return sites entered for the person's organisations, or with a pavement they keep."""
    kept = access.pavements_held_as(person, access.KEEPERS).values("site")
    own = access.own_sites(person).values("pk")
    return access.visible_sites(person).filter(Q(pk__in=kept) | Q(pk__in=own))


def _may_edit(person: Person, site: Site) -> bool:
    try:
        keeper_of(person, site)
    except PermissionDenied:
        return False
    return True


@require_http_methods(["GET", "POST"])
def site_correct(request: HttpRequest, pk: int) -> HttpResponse:
    """Correct what is known of a site by a correction line."""
    site = access.get_site(request.user, pk)
    organisation = keeper_of(request.user, site)
    form = SiteForm(request.POST or None, instance=site, system=request.user.shown_system)
    reason = ReasonForm(request.POST or None)
    if request.method == "POST" and all([form.is_valid(), reason.is_valid()]):
        given = {"changes": form.changes(), "why": reason.cleaned_data["why"]}
        if try_action(
            form, correct_entry, site, by=request.user, organisation=organisation, **given
        ):
            tell_corrected(request, site)
            return redirect("site_page", pk)
    lines = access.visible_lines_about(request.user, site)
    context = {"site": site, "form": form, "reason": reason, "lines": lines}
    return render(request, "site/correct.html", context)
