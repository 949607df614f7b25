"""Every address of the workshop, as a table of contents; each room has its own page of it."""

from django.urls import include, path

from sideshake.bench.views import today

urlpatterns = [
    path("", today.today, name="today"),
    path("", include("sideshake.bench.urls.door")),
    path("", include("sideshake.bench.urls.records")),
    path("", include("sideshake.bench.urls.look")),
    path("", include("sideshake.bench.urls.evidence")),
    path("", include("sideshake.bench.urls.live")),
    path("", include("sideshake.bench.urls.rounds")),
    path("", include("sideshake.bench.urls.clocks")),
    path("", include("sideshake.bench.urls.timing")),
    path("", include("sideshake.bench.urls.business")),
    path("", include("sideshake.bench.urls.work")),
    path("", include("sideshake.bench.urls.papers")),
]

handler400 = "sideshake.bench.views.faults.not_understood"
handler403 = "sideshake.bench.views.faults.refused"
handler404 = "sideshake.bench.views.faults.not_found"
handler500 = "sideshake.bench.views.faults.broken"
