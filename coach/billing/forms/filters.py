"""Filters of the lists; what cannot be read counts as not asked, so that old addresses work."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.http import QueryDict

from clients.models import Client
from coach.billing.forms.fields import who_field
from coach.billing.queries.sales import SaleRow
from coach.billing.rules.months import month_of
from coach.billing.rules.packages import SaleState
from coach.billing.rules.receivables import FILTERS
from coach.practice.filters import FilterForm, find_field

_CURRENT = (SaleState.TO_COME, SaleState.RUNNING)


class InvoiceFilterForm(FilterForm):
    """Papers: by number or name, and which."""

    find = find_field("number or name")
    show = forms.ChoiceField(
        label="Which", required=False, choices=[("", "all"), *((f, f) for f in FILTERS if f)]
    )

    def wanted(self) -> dict[str, Any]:
        """The arguments of queries.invoices."""
        return {"search": self.asked("find"), "show": self.asked("show")}


class SaleFilterForm(FilterForm):
    """Sales: by name, and which."""

    find = find_field("client, payer or package")
    show = forms.ChoiceField(
        label="Which",
        required=False,
        choices=[
            ("", "all"),
            ("current", "not over yet"),
            *((s.value, s.value) for s in SaleState),
        ],
    )

    @property
    def states(self) -> tuple[SaleState, ...]:
        """The states asked for."""
        show = self.asked("show")
        if show == "current":
            return _CURRENT
        return (SaleState(show),) if show else tuple(SaleState)

    def found(self, rows: Iterable[SaleRow]) -> list[SaleRow]:
        """The rows that hold what was typed."""
        wanted = self.asked("find").strip().casefold()
        return [
            row
            for row in rows
            if any(wanted in text.casefold() for text in (row.client, row.payer, row.title))
        ]


def client_named(asked: QueryDict) -> Client | None:
    """The client that an address names; None for none and for one that is not there."""
    try:
        found: Any = who_field("", required=False).clean(asked.get("client", ""))
    except ValidationError:
        return None
    return found if isinstance(found, Client) else None


def month_named(text: str, today: date) -> date:
    """The first day of a month written as 2026-12; this month for anything else."""
    try:
        first = date.fromisoformat(f"{text}-01")
    except ValueError:
        return month_of(today)
    return first if 2000 <= first.year < 2200 else month_of(today)
