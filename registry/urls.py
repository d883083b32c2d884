"""The whole URL map."""

from django.urls import URLPattern, URLResolver, include, path

urlpatterns: list[URLPattern | URLResolver] = [
    path("accounts/", include("allauth.account.urls")),
]
