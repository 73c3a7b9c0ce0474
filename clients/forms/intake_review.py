"""Forms of the coach around a form by link: for whom, a minor, what is taken, why not."""

from __future__ import annotations

from collections.abc import Iterable

from django import forms

from clients.forms.fields import RefusableForm, day_field, radios, text_field
from clients.models import Client
from clients.rules.intake import ASK_AGAIN, GO_ON, NOT_ON
from clients.rules.intake_review import KEEP, TAKE, Point


class NewLinkForm(RefusableForm):
    """A form for somebody who is on no list yet."""

    name = text_field(
        "For whom", longest=120, required=True, missing="Write her name, or what you call her."
    )
    email = forms.EmailField(
        label="E-mail", required=False, widget=forms.EmailInput(attrs={"autocomplete": "off"})
    )


class MakeForm(forms.Form):
    """Of a client, by a button; an enquiry has a button of its own."""

    client = forms.IntegerField(min_value=1)


class MailForm(RefusableForm):
    """Where the link is mailed to."""

    email = forms.EmailField(
        label="E-mail",
        error_messages={"required": "Write her e-mail address."},
        widget=forms.EmailInput(attrs={"autocomplete": "off"}),
    )


class GuardianForm(RefusableForm):
    """What the coach decides for somebody under 18."""

    decision = radios(
        "You have decided",
        (
            (GO_ON, "she goes on: her guardian has consented"),
            (NOT_ON, "she does not go on"),
            (ASK_AGAIN, "the date was mistyped: ask her again"),
        ),
    )
    guardian = text_field(
        "Who consented for her", longest=160, hint="Name, and who they are to her."
    )
    consented_on = day_field("On which day")


class AsideForm(RefusableForm):
    """Why nobody becomes a client by this form."""

    reason = text_field("Why", longest=300, required=True, missing="Say why.")


class WhoseForm(forms.Form):
    """Which client the form of somebody new belongs to."""

    client = forms.ModelChoiceField(
        Client.objects.only("name"),
        error_messages={"required": "Choose her."},
    )


class ReviewForm(RefusableForm):
    """A choice for every point that differs; a point is added where taking it was refused."""

    def __init__(
        self, *args: object, points: Iterable[Point], also: str = "", **kwargs: object
    ) -> None:
        super().__init__(*args, **kwargs)  # type: ignore[arg-type]  # a Form's own arguments
        for one in points:
            if one.asks or one.key == also or one.key in self.data:
                choices = ((TAKE, one.told), (KEEP, self.kept_words(one)))
                self.fields[one.key] = radios(
                    one.label, choices, hint=one.warning, missing="Choose one."
                )
                self.fields[one.key].initial = TAKE if one.take else KEEP

    @staticmethod
    def kept_words(one: Point) -> str:
        """What stays if it is not taken."""
        return f"keep: {one.stored}" if one.stored else "leave it out"
