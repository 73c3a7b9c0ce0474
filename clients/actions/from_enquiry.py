"""A client made of an enquiry by the coach herself, without a form that came back."""

from __future__ import annotations

from typing import Any

from django.db import transaction

from clients.actions.enquiries import became_client
from clients.actions.intake_review import hear_forms_of
from clients.actions.roster import add_client
from clients.actions.shared import Refused
from clients.models import Client, Enquiry
from clients.rules.pregnancies import PregnancyFacts, Problem
from coach.practice.audit import Actor


@transaction.atomic
def make_client(
    *, by: Actor, enquiry: Enquiry, pregnancy: PregnancyFacts | None = None, **values: Any
) -> Client:
    """Add her to the roster, with the enquiry as her history. `values`: those of add_client.

    What stops or holds her by a form that she has begun meanwhile is on record at once. Refused if
    she is on the roster already.
    """
    enquiry.refresh_from_db(from_queryset=Enquiry.objects.select_for_update())
    if enquiry.client_id:
        raise Refused([Problem("", "She is on the roster already.")])
    client = add_client(by=by, pregnancy=pregnancy, **values)
    hear_forms_of(by=by, client=client, enquiry=enquiry)
    became_client(by=by, enquiry=enquiry, client=client)
    return client
