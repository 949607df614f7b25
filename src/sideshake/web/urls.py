"""Every address of the workshop, as a table of contents; each room has its own page of it."""

from django.urls import include, path

urlpatterns = [
    path("", include("sideshake.web.overview.urls")),
    path("", include("sideshake.web.people.urls")),
    path("", include("sideshake.web.workshop.urls")),
    path("", include("sideshake.web.storage.urls")),
    path("", include("sideshake.web.removal.urls")),
    path("", include("sideshake.web.owners.urls")),
    path("", include("sideshake.web.visits.urls")),
    path("", include("sideshake.web.visit_page.urls")),
    path("", include("sideshake.web.measuring.urls")),
    path("", include("sideshake.web.evidence.urls")),
    path("", include("sideshake.web.documents.urls")),
    path("", include("sideshake.web.readings.urls")),
    path("", include("sideshake.web.rehearing.urls")),
    path("", include("sideshake.web.rounds.urls")),
    path("", include("sideshake.web.sample_clock.urls")),
    path("", include("sideshake.web.daily_rates.urls")),
    path("", include("sideshake.web.comparison.urls")),
    path("", include("sideshake.web.proposals.urls")),
    path("", include("sideshake.web.money.urls")),
    path("", include("sideshake.web.bench_plan.urls")),
    path("", include("sideshake.web.drawer.urls")),
    path("", include("sideshake.web.outwork.urls")),
    path("", include("sideshake.web.calibres.urls")),
    path("", include("sideshake.web.public_story.urls")),
]

handler400 = "sideshake.web.base.fault_pages.not_understood"
handler403 = "sideshake.web.base.fault_pages.refused"
handler404 = "sideshake.web.base.fault_pages.not_found"
handler500 = "sideshake.web.base.fault_pages.broken"
