"""Addresses of the Accounts section."""

from __future__ import annotations

from django.urls import path

from coach.billing.views import drafts, invoices, overview, packages, sales

app_name = "accounts"
urlpatterns = [
    path("", overview.index, name="index"),
    path("month/", overview.summary, name="summary"),
    path("clients/<int:pk>/", overview.of_client, name="of_client"),
    path("packages/", packages.packages, name="packages"),
    path("packages/add/", packages.add, name="add_package"),
    path("packages/<int:pk>/", packages.edit, name="edit_package"),
    path("packages/<int:pk>/retire/", packages.retire, name="retire_package"),
    path("packages/<int:pk>/offer/", packages.offer_again, name="offer_again"),
    path("sales/", sales.sales, name="sales"),
    path("sales/add/", sales.sell, name="sell"),
    path("sales/<uuid:uid>/", sales.sale, name="sale"),
    path("sales/<uuid:uid>/sessions/", sales.use, name="use"),
    path("sales/<uuid:uid>/sessions/<int:pk>/undo/", sales.undo_use, name="undo_use"),
    path("sales/<uuid:uid>/bill/", sales.bill, name="bill"),
    path("sales/<uuid:uid>/cancel/", sales.cancel, name="cancel_sale"),
    path("invoices/", invoices.invoices, name="invoices"),
    path("invoices/add/", drafts.begin, name="begin"),
    path("invoices/<uuid:uid>/", invoices.invoice, name="invoice"),
    path("invoices/<uuid:uid>/draft/", drafts.draft, name="draft"),
    path("invoices/<uuid:uid>/discard/", drafts.discard, name="discard"),
    path("invoices/<uuid:uid>/issue/", drafts.issue, name="issue"),
    path("invoices/<uuid:uid>/pdf/", invoices.pdf, name="pdf"),
    path("invoices/<uuid:uid>/payments/", invoices.pay, name="pay"),
    path("invoices/<uuid:uid>/refunds/", invoices.refund, name="refund"),
    path("invoices/<uuid:uid>/payments/<int:pk>/reverse/", invoices.reverse, name="reverse"),
    path("invoices/<uuid:uid>/credit/", invoices.credit, name="credit"),
]
