"""Papers."""

from django.urls import path

from sideshake.bench.views import papers

urlpatterns = [
    path("visits/<str:number>/papers/", papers.papers, name="papers"),
    path("visits/<str:number>/papers/report.pdf", papers.report_pdf, name="report-pdf"),
    path("visits/<str:number>/papers/report.html", papers.report_page, name="report-page"),
    path("visits/<str:number>/papers/card/<str:size>.pdf", papers.card_pdf, name="card-pdf"),
    path("visits/<str:number>/papers/bench.pdf", papers.bench_pdf, name="bench-pdf"),
    path("visits/<str:number>/papers/labels.pdf", papers.labels_pdf, name="labels-pdf"),
    path(
        "visits/<str:number>/papers/proposal/<int:edition>.pdf",
        papers.proposal_pdf,
        name="proposal-pdf",
    ),
    path("invoices/<str:number>/invoice.pdf", papers.invoice_pdf, name="invoice-pdf"),
]
