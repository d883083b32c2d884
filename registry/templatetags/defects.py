"""Words about defects, in the viewer's units."""

from django import template

from registry.defects import Offer
from registry.models import Defect
from registry.templatetags.quantities import system_of

register = template.Library()


@register.simple_tag(takes_context=True)
def offer_words(context: template.Context, offer: Offer, known: Defect) -> str:
    """Say what is offered of a known defect, by its number instead of its key."""
    return offer.words(system_of(context)).replace(f" {offer.ref}?", f" {known}?", 1)
