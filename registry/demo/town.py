"""Load the whole town, one part after another, all or nothing."""

from dataclasses import dataclass
from datetime import date

from django.db import transaction

from registry.actions.add_entry import add_entry
from registry.actions.refresh_standing import refreshed_at_the_end
from registry.demo.callbacks import take_in_callbacks
from registry.demo.cleanings import record_managed_cleanings
from registry.demo.crews import set_up_crews
from registry.demo.defects import record_defects
from registry.demo.demands import ask_of_pavements
from registry.demo.dispute import record_dispute
from registry.demo.due import make_work_due
from registry.demo.mess import put_right
from registry.demo.order_book import fill_order_book
from registry.demo.pavements import lay_out_pavements, lay_out_sites
from registry.demo.people import SignIn, bring_in_people, refuse_second_load
from registry.demo.photos import add_photos
from registry.demo.placing import record_placing
from registry.demo.plans import draw_plans
from registry.demo.readings import list_rings, record_tests
from registry.demo.rounds import book_strip, record_town_cleanings
from registry.demo.seats import give_seats, sell_and_split
from registry.demo.tables import midnight
from registry.demo.warranties import give_warranties
from registry.models import Cleaning, Defect, InfiltrationTest, Pavement

FIRST_DAY = midnight(date(2018, 1, 1))


@dataclass(frozen=True)
class Loaded:
    """What was stored, and who may sign in."""

    pavements: int
    infiltration_tests: int
    cleanings: int
    defects: int
    photos: int
    sign_ins: tuple[SignIn, ...]


@transaction.atomic
def load_town() -> Loaded:
    """Store the town of Sedgewater. Raises AlreadyLoaded unless the database is empty."""
    refuse_second_load()
    cast = bring_in_people(FIRST_DAY)
    rings = {}
    for ring in list_rings(cast):
        author = cast.as_author(ring.organisation.name)
        rings[f"{ring.organisation.name}/{ring.inside_diameter:g}"] = add_entry(ring, **author)
    sites = lay_out_sites(cast)
    pavements = lay_out_pavements(cast, sites)
    with refreshed_at_the_end():
        draw_plans(cast, pavements)
        ask_of_pavements(cast, pavements)
        give_seats(cast, pavements)
    sell_and_split(cast, pavements)
    with refreshed_at_the_end():
        record_tests(cast, pavements, rings)
        record_managed_cleanings(cast, pavements)
        fleet = set_up_crews(cast, sites)
        record_town_cleanings(cast, pavements, fleet)
        book_strip(cast, pavements)
        fill_order_book(cast, pavements, fleet)
        record_defects(cast, pavements)
        photos = add_photos(cast, pavements)
        record_placing(cast, pavements)
        callbacks = take_in_callbacks(cast, give_warranties(cast, pavements))
        record_dispute(cast, callbacks["CB-5"])
        put_right(cast, pavements)
    make_work_due(cast, pavements, sites)
    return Loaded(
        Pavement.objects.count(),
        InfiltrationTest.objects.count(),
        Cleaning.objects.count(),
        Defect.objects.count(),
        photos,
        tuple(cast.sign_ins),
    )
