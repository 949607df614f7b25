"""Bench plan, tests, drawer, outwork, what the shop has learnt."""

from django.urls.resolvers import URLPattern

urlpatterns: list[URLPattern] = []
