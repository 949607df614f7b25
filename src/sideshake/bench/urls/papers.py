"""Papers."""

from django.urls import path

from sideshake.bench.views import jewel_papers, papers, settings_page, showing

urlpatterns = [
    path("settings/logo.png", settings_page.logo_picture, name="logo"),
    path("settings/logo/", settings_page.put_logo, name="put-logo"),
    path("settings/logo/remove/", settings_page.remove_logo, name="remove-logo"),
    path("visits/<str:number>/papers/", papers.papers, name="papers"),
    path("visits/<str:number>/papers/<str:kind>/issue/", papers.issue, name="issue-paper"),
    path("papers/<int:pk>/", papers.issued_paper, name="issued-paper"),
    path("visits/<str:number>/papers/report.pdf", papers.report_pdf, name="report-pdf"),
    path("visits/<str:number>/papers/report.html", papers.report_page, name="report-page"),
    path("visits/<str:number>/papers/card/<str:size>.pdf", papers.card_pdf, name="card-pdf"),
    path("visits/<str:number>/papers/bench.pdf", papers.bench_pdf, name="bench-pdf"),
    path("visits/<str:number>/papers/parts.pdf", papers.parts_pdf, name="parts-pdf"),
    path("visits/<str:number>/papers/labels.pdf", papers.labels_pdf, name="labels-pdf"),
    path("visits/<str:number>/show/", showing.show, name="show"),
    path("visits/<str:number>/show/write/", showing.write_page, name="write-page"),
    path("visits/<str:number>/show/consent/", showing.consent, name="show-consent"),
    path("visits/<str:number>/show/withdraw/", showing.withdraw_consent, name="withdraw-consent"),
    path(
        "visits/<str:number>/papers/parts/<int:sheet>.<str:ending>",
        jewel_papers.parts_drawing,
        name="parts-drawing",
    ),
    path("drawer/jewels/<int:pk>/order.pdf", jewel_papers.order_pdf, name="jewel-order-pdf"),
    path(
        "drawer/jewels/<int:pk>/order/<int:sheet>.<str:ending>",
        jewel_papers.order_drawing,
        name="jewel-order-drawing",
    ),
    path(
        "visits/<str:number>/papers/proposal/<int:edition>.pdf",
        papers.proposal_pdf,
        name="proposal-pdf",
    ),
    path("invoices/<str:number>/invoice.pdf", papers.invoice_pdf, name="invoice-pdf"),
]
