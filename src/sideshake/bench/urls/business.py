"""Proposals, answers, invoices and payments."""

from django.urls.resolvers import URLPattern

urlpatterns: list[URLPattern] = []
