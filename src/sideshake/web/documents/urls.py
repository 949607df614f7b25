"""The addresses of papers."""

from django.urls import path

from sideshake.web.documents import jewel_views, views

urlpatterns = [
    path(
        "visits/<str:number>/jewel/<str:place>/drawing.<str:ending>",
        jewel_views.part_drawing,
        name="jewel-drawing",
    ),
    path("visits/<str:number>/papers/", views.papers, name="papers"),
    path("visits/<str:number>/papers/<str:kind>/issue/", views.issue, name="issue-paper"),
    path("papers/<int:pk>/", views.issued_paper, name="issued-paper"),
    path("visits/<str:number>/papers/report.pdf", views.report_pdf, name="report-pdf"),
    path("visits/<str:number>/papers/report.html", views.report_page, name="report-page"),
    path("visits/<str:number>/papers/card/<str:size>.pdf", views.card_pdf, name="card-pdf"),
    path("visits/<str:number>/papers/bench.pdf", views.bench_pdf, name="bench-pdf"),
    path("visits/<str:number>/papers/parts.pdf", views.parts_pdf, name="parts-pdf"),
    path("visits/<str:number>/papers/labels.pdf", views.labels_pdf, name="labels-pdf"),
    path(
        "visits/<str:number>/papers/parts/<int:sheet>.<str:ending>",
        jewel_views.parts_drawing,
        name="parts-drawing",
    ),
    path("drawer/jewels/<int:pk>/order.pdf", jewel_views.order_pdf, name="jewel-order-pdf"),
    path(
        "drawer/jewels/<int:pk>/order/<int:sheet>.<str:ending>",
        jewel_views.order_drawing,
        name="jewel-order-drawing",
    ),
    path(
        "visits/<str:number>/papers/proposal/<int:edition>.pdf",
        views.proposal_pdf,
        name="proposal-pdf",
    ),
    path("invoices/<str:number>/invoice.pdf", views.invoice_pdf, name="invoice-pdf"),
]
