"""Forms of a paper in draft: for whom, its lines, and the words on it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms

from coach.billing.forms.fields import (
    AmountField,
    RateField,
    amount_to_type,
    lines_field,
    rate_to_type,
    seen_field,
    text_field,
    who_field,
)
from coach.billing.forms.sales import PayerForm
from coach.billing.forms.shared import BillingForm
from coach.billing.models import Invoice
from coach.billing.rules.values import MOST_QUANTITY, Line, Party

LINES = "line"
_QUANTITY = f"A whole number from 1 to {MOST_QUANTITY:,}."


class NewDraftForm(PayerForm):
    """An invoice without a package. `seen`: the last paper when the form was shown."""

    field_order = ("client",)

    client = who_field("For whom")
    seen = seen_field()

    def values(self) -> dict[str, Any]:
        """The arguments of the action."""
        client = self.cleaned_data["client"]
        return {
            "client": client,
            "buyer": self.payer_of(client),
            "seen": self.cleaned_data["seen"],
        }


class IssueForm(BillingForm):
    """`seen`: when the draft was last changed as it was looked at."""

    seen = forms.CharField(
        widget=forms.HiddenInput,
        error_messages={"required": "The page is too old. Load it again."},
    )

    def given(self) -> dict[str, Any]:
        """The arguments of the action."""
        return dict(self.cleaned_data)


class DraftForm(BillingForm):
    """The head and foot of a draft; its fields are named as the action's."""

    buyer_name = text_field(
        "Name", 120, error_messages={"required": "Say who pays: an invoice needs a name."}
    )
    buyer_email = forms.EmailField(
        label="E-mail",
        required=False,
        error_messages={"invalid": "That is no e-mail address."},
        widget=forms.EmailInput(attrs={"autocomplete": "off"}),
    )
    buyer_address = lines_field("Address", 3, help_text="Each part on its line.")
    pay_days = forms.IntegerField(
        label="Days to pay",
        min_value=0,
        max_value=365,
        error_messages={
            "required": "How many days to pay? 0 for at once.",
            **dict.fromkeys(("invalid", "min_value", "max_value"), "A whole number up to 365."),
        },
    )
    prices_include_tax = forms.BooleanField(label="The tax is in the prices", required=False)
    supplied = text_field("Day or period it is for", 80, required=False)
    no_tax_reason = text_field(
        "Why no tax is charged",
        200,
        required=False,
        help_text="Only if none is, in the words that your tax office wants.",
    )
    note = lines_field("Note beneath the lines", 2)

    _TEXTS = ("pay_days", "prices_include_tax", "supplied", "no_tax_reason", "note")

    @classmethod
    def initial_from(cls, invoice: Invoice) -> dict[str, Any]:
        """What the form shows for a draft."""
        return {name: getattr(invoice, name) for name in cls.base_fields}

    def values(self) -> dict[str, Any]:
        """The arguments of the action, but for the lines."""
        given = self.cleaned_data
        buyer = Party(given["buyer_name"], given["buyer_address"].strip(), given["buyer_email"])
        return {"buyer": buyer, **{name: given[name] for name in self._TEXTS}}


class LineForm(BillingForm):
    """One line. Without words and price it is no line, whatever else is filled in."""

    text = text_field("For what", 200, error_messages={"required": "Say what it is for."})
    quantity = forms.IntegerField(
        label="How many",
        min_value=1,
        max_value=MOST_QUANTITY,
        error_messages={
            "required": _QUANTITY,
            **dict.fromkeys(("invalid", "min_value", "max_value"), _QUANTITY),
        },
    )
    unit_minor = AmountField(
        label="Price of one", error_messages={"required": "Write the price; 0 for nothing."}
    )
    tax_bp = RateField(label="Tax, %")

    def has_changed(self) -> bool:
        typed = (self.data.get(self.add_prefix(name), "") for name in ("text", "unit_minor"))
        return any(one.strip() for one in typed)


class LinesFormSet(forms.BaseFormSet):  # type: ignore[type-arg]  # not generic at run time
    """The lines of a draft, and an empty one at the end to write the next on."""

    @property
    def lines(self) -> list[Line]:
        """The lines that were typed, in their order; only of a valid set."""
        return [Line(**form.cleaned_data) for form in self.forms if form.has_changed()]


_Set: Any = forms.formset_factory(
    LineForm, formset=LinesFormSet, extra=0, max_num=201, absolute_max=260, validate_max=True
)


def lines_shown(
    lines: Sequence[Line], *, currency: str, usual_bp: int, adds: bool = False
) -> LinesFormSet:
    """The lines of a draft to change, and an empty one; `adds`: that one is to be written on."""
    shown = [
        {
            "text": line.text,
            "quantity": line.quantity,
            "unit_minor": amount_to_type(line.unit_minor, currency),
            "tax_bp": rate_to_type(line.tax_bp),
        }
        for line in lines
    ]
    empty = {"quantity": 1, "tax_bp": rate_to_type(usual_bp)}
    kwargs = {"currency": currency}
    found: LinesFormSet = _Set(initial=[*shown, empty], prefix=LINES, form_kwargs=kwargs)
    if adds:
        found.forms[-1].fields["text"].widget.attrs["autofocus"] = True
    return found


def lines_typed(data: Any, *, currency: str) -> LinesFormSet:
    """The lines as sent, without the one whose “remove” was pressed."""
    data, removed = data.copy(), data.get("remove", "")
    data[f"{LINES}-INITIAL_FORMS"] = "0"  # so that a line left empty is no line
    if removed.isdigit():
        data[f"{LINES}-{removed}-text"] = data[f"{LINES}-{removed}-unit_minor"] = ""
    typed: LinesFormSet = _Set(data, prefix=LINES, form_kwargs={"currency": currency})
    return typed
