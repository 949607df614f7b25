"""What was seen, measured and heard."""

from django.urls.resolvers import URLPattern

urlpatterns: list[URLPattern] = []
