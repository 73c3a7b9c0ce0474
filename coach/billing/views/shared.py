"""What the views of this section share."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from datetime import date
from typing import TypeVar

from django.contrib import messages
from django.http import Http404, QueryDict

from coach.billing.actions.shared import Refused
from coach.billing.forms.shared import BillingForm
from coach.billing.models import Invoice, Sale
from coach.billing.queries.invoices import InvoicePage, invoice_page
from coach.billing.queries.sales import SalePage, sale_page
from coach.practice.http import Request

T = TypeVar("T")


def paper_or_404(uid: uuid.UUID, today: date) -> InvoicePage:
    """One paper whole."""
    try:
        return invoice_page(uid, today)
    except Invoice.DoesNotExist as none:
        raise Http404("no such invoice") from none


def sale_or_404(uid: uuid.UUID, today: date) -> SalePage:
    """One sale with its sessions."""
    try:
        return sale_page(uid, today)
    except Sale.DoesNotExist as none:
        raise Http404("no such sale") from none


def sent(request: Request) -> QueryDict | None:
    """What a form was sent with; None when it was only opened."""
    return request.POST if request.method == "POST" else None


def kept(form: BillingForm, act: Callable[[], T]) -> T | None:
    """What the action keeps of a form; None for one not sent, or with its sentences on it."""
    if not form.is_valid():
        return None
    try:
        return act()
    except Refused as refused:
        form.refuse(refused.problems)
        return None


def done(request: Request, act: Callable[[], object], said: str) -> bool:
    """Do what a button asks for and say so; what is against it is said instead."""
    try:
        act()
    except Refused as refused:
        messages.error(request, str(refused))
        return False
    messages.success(request, said)
    return True


def twice(request: Request) -> None:
    """What somebody reads who pressed twice."""
    messages.info(request, "That was kept already; nothing is counted twice.")
