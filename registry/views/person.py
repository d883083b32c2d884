"""The page of the person who is signed in: their own details and how they sign in."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from registry import access


@require_GET
def person_page(request: HttpRequest) -> HttpResponse:
    """Show one's own name, address, organisations, and the ways to change how one signs in."""
    context = {"memberships": access.memberships_of(request.user)}
    return render(request, "person/page.html", context)
