"""The key of a form, by which the same one sent twice is known."""

from uuid import uuid4

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString

register = template.Library()


@register.simple_tag(takes_context=True)
def form_key(context: template.Context) -> SafeString:
    """Return the hidden field that marks a form; one that comes back with faults keeps its key."""
    request = context.get("request")
    key = (request.POST.get("form_key") if request is not None else "") or uuid4().hex
    return format_html('<input type="hidden" name="form_key" value="{}">', key)
