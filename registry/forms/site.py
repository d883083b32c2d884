"""The form of a site."""

from typing import Any
from zoneinfo import available_timezones

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import QuerySet

from registry.forms.entry import EntryForm, Groups
from registry.forms.open_fields import LinesField
from registry.forms.quantity import unit_hint
from registry.models import Organisation, Site
from registry.units import Kind


class OtherNamesField(LinesField):
    """Names by which others call a site: "Cooper's Yard north, used by the town"."""

    def read_line(self, line: str) -> dict[str, str]:
        """Return the name and who uses it."""
        name, _, user = line.partition(", used by ")
        if not name.strip():
            raise ValidationError("Write the name, then who uses it.")
        return {"name": name.strip(), "used_by": user.strip()}

    def write_line(self, stored: Any) -> str:
        """Return the line of a stored name."""
        if isinstance(stored, str):
            return stored
        used_by = stored.get("used_by", "")
        return f"{stored['name']}, used by {used_by}" if used_by else str(stored["name"])


def zone_choices() -> list[tuple[str, str]]:
    """Return the local times there are, in the order of their names."""
    places = sorted(z for z in available_timezones() if "/" in z and not z.startswith("Etc/"))
    return [("", "choose"), *((z, z.replace("_", " ")) for z in places)]


class SiteForm(EntryForm):
    """Ground with one address and one local time."""

    quantities = {
        "clearance_m": Kind.LENGTH,
        "way_in_width_m": Kind.LENGTH,
        "turning_m": Kind.LENGTH,
        "hose_m": Kind.LENGTH,
        "heaviest_axle_kg": Kind.MASS,
        "way_in_axle_kg": Kind.MASS,
        "water_flow_l_min": Kind.LIQUID,
        "dump_distance_m": Kind.LENGTH,
    }
    ranges = {"lon": (-180, 180), "lat": (-90, 90)}
    groups: Groups = (
        (
            "Which site",
            ("name", "other_names", "address", "entrance", "time_zone", "climate", "lon", "lat"),
        ),
        (
            "When crews may come, and how",
            (
                "access_hours",
                "noise_hours",
                "gate",
                "clearance_m",
                "way_in_width_m",
                "turning_m",
                "heaviest_axle_kg",
                "way_in_axle_kg",
                "notice_h",
                "tow_rule",
            ),
        ),
        (
            "Water and dirt",
            ("water_point", "hose_m", "water_flow_l_min", "dump_place", "dump_distance_m"),
        ),
    )
    other_names = OtherNamesField(
        label="other names, and who uses them",
        help_text="One a line: Cooper's Yard, used by the town. A site is never found by its "
        "name alone.",
    )
    time_zone = forms.ChoiceField(
        label="local time",
        choices=zone_choices,
        help_text="It rules every date here. Choose the place whose clocks go as at the site.",
        error_messages={
            "required": "Choose the local time of the site: every date there is read by it."
        },
    )

    class Meta:
        model = Site
        fields = (
            "name",
            "other_names",
            "address",
            "entrance",
            "time_zone",
            "climate",
            "lon",
            "lat",
            "access_hours",
            "noise_hours",
            "gate",
            "clearance_m",
            "way_in_width_m",
            "turning_m",
            "hose_m",
            "heaviest_axle_kg",
            "way_in_axle_kg",
            "notice_h",
            "tow_rule",
            "water_point",
            "water_flow_l_min",
            "dump_place",
            "dump_distance_m",
            "note",
        )
        help_texts = {
            "lon": "Degrees with decimals, as a map gives them. West of Greenwich with a minus: "
            "-69.6214.",
            "climate": "Which seasons of its keepers' calendar hold here; blank where it has one "
            "climate alone.",
        }

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        flow = self.fields["water_flow_l_min"]
        flow.help_text = unit_hint(flow.kind, self.chosen_system, "Flow a minute")

    def clean(self) -> dict[str, Any]:
        """Refuse half a position."""
        cleaned = super().clean()
        if (cleaned.get("lon") is None) != (cleaned.get("lat") is None):
            self.add_error("lat", "A position needs both longitude and latitude.")
        return cleaned


class NewSiteForm(forms.Form):
    """What a new site needs at first; the rest is written on its own page.

    `known` are the sites the writer sees. Two places may share a name, so a name that is there
    already is asked about with its address; nothing is matched for anybody. `own` are those of the
    writer's organisations: where they all have one local time, it is chosen, and the form says so.
    """

    # It stands on the page of a pavement whose site may be in the list: a browser that demanded
    # the name of a new site would let nobody choose one that is there.
    use_required_attribute = False

    name = forms.CharField(
        label="name of the site",
        max_length=160,
        error_messages={"required": "Write the name of the site."},
    )
    address = forms.CharField(label="address", max_length=240, required=False)
    time_zone = SiteForm.base_fields["time_zone"]
    is_another_place = forms.BooleanField(
        label="another place that has the same name", required=False
    )

    def __init__(
        self, *args: Any, known: QuerySet[Site], own: QuerySet[Site], **options: Any
    ) -> None:
        super().__init__(*args, **options)
        self.known = known
        self.namesakes: list[Site] = []
        if not self.is_bound:
            self._offer_zone(own.filter(void_at__isnull=True))

    def _offer_zone(self, own: QuerySet[Site]) -> None:
        zones = list(own.order_by().values_list("time_zone", flat=True).distinct()[:2])
        if len(zones) != 1:
            return
        newest = own.order_by("-pk").values_list("name", flat=True).first()
        field = self.fields["time_zone"]
        field.initial = zones[0]
        field.help_text = f"From your other site {newest}; change it if wrong. {field.help_text}"

    def clean(self) -> dict[str, Any]:
        """Ask where the name is known already."""
        cleaned = super().clean() or self.cleaned_data
        name = cleaned.get("name", "")
        self.namesakes = [site for site in self.known if name and is_called(site, name)]
        if self.namesakes and not cleaned.get("is_another_place"):
            where = "; ".join(said_with_address(site) for site in self.namesakes)
            self.add_error(
                "name",
                f"There is {where}. If it is that one, choose it from the list of sites. If it is "
                "another place, say so below.",
            )
            if not cleaned.get("address"):
                self.add_error("address", "Two places of one name are told apart by address.")
        return cleaned

    def site(self) -> Site:
        """Return the unsaved site of a valid form."""
        names = ("name", "address", "time_zone")
        return Site(**{name: self.cleaned_data[name] for name in names})


class SiteOfForm(NewSiteForm):
    """A new site by itself, for one of the writer's organisations."""

    organisation = forms.ModelChoiceField(label="entered for", queryset=None, empty_label=None)

    def __init__(self, *args: Any, organisations: QuerySet[Organisation], **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["organisation"].queryset = organisations


def is_called(site: Site, name: str) -> bool:
    """Say whether a site goes by a name, in whatever letters."""
    others = [o if isinstance(o, str) else str(o["name"]) for o in site.other_names]
    return name.strip().casefold() in {n.strip().casefold() for n in (site.name, *others)}


def said_with_address(site: Site) -> str:
    """Return how a site is told from others of its name."""
    return f"{site.name}, {site.address or 'address not known'} (site {site.pk})"
