"""One of everything that an address can name, by the names that the walk uses."""

from __future__ import annotations

from datetime import date
from typing import Any
from uuid import UUID

from django.test import Client as Browser
from django.urls import reverse

from clients.actions import name_condition, record_clearance, record_warning_sign, write_entry
from clients.actions.intake import make_link
from clients.models import Enquiry, LetterOut, OwnMeasure
from clients.queries.intake import token_of
from clients.rules.documents import read_document
from clients.rules.facts import ClearanceFact
from coach.billing.actions.invoices import draft_from_sale, draft_invoice, issue
from coach.billing.actions.packages import add_package
from coach.billing.actions.payments import record_payment
from coach.billing.actions.sales import sell, use_session
from coach.billing.rules.values import Line
from coach.feeds.actions import give_address
from coach.practice import files
from coach.practice.audit import SYSTEM
from coach.practice.models import User
from coach.practice.permissions import Role
from content.models import Away, EarlierPlan, Proposal
from content.rules.months import Month
from tests import factories
from tests import factories_clearance as health

TODAY = date(2026, 12, 3)
PDF = b"%PDF-1.4\n1 0 obj\n<<>>\nendobj\ntrailer\n<<>>\nstartxref\n9\n%%EOF\n"


def one_of_everything(people: dict[str, User | None]) -> dict[str, Any]:
    """The keys of the rows; they are made by the actions, as a person would."""
    owner, assistant = people[Role.OWNER], people[Role.ASSISTANT]
    assert owner is not None
    assert assistant is not None
    client = factories.client("Maeve Ashgrove")
    return {
        "person": assistant.pk,
        "client": client.pk,
        "pregnancy": factories.pregnancy(client, due=date(2027, 4, 12), dated_by="clinician").pk,
        "enquiry": Enquiry.objects.create(name="Perdita Lockhart", came_on=TODAY).pk,
        "token": give_address(by=SYSTEM, person=owner),
        "uid": "1",
        "stage code": "t3",
        "exercise code": "bird-dog",
        "key": "no-key",
        **_uploads(),
        **_health(client),
        **_money(client),
    }


def _uploads() -> dict[str, Any]:
    factories.wishes()
    slot = {"day": "2027-01-05", "class": factories.fitness_class().pk, "reasons": ["because"]}
    Proposal.objects.create(
        month=date(2027, 1, 1),
        status="optimal",
        value=1,
        bound=1,
        slots=[slot],
        fingerprint="x",
    )
    planned = {"month": date(2027, 1, 1), "status": "optimal", "value": 1, "bound": 1}
    EarlierPlan.objects.create(number=1, what="made", slots=[slot], **planned)
    taken = factories.upload(date(2027, 1, 16)).pk
    EarlierPlan.objects.create(number=2, what="accepted", slots=[slot], uploads=[taken], **planned)
    return {
        "month": Month(2027, 1),
        "plan": 1,
        "accepted plan": 2,
        "away": Away.objects.create(first=date(2027, 1, 18), last=date(2027, 1, 19)).pk,
        "check item": "sound-checked",
        "proposed day": date(2027, 1, 5),
        "upload": factories.upload(date(2027, 1, 9)).pk,
        "day off": factories.day_off(date(2027, 1, 20)).pk,
        "class": factories.fitness_class("Idea", state="idea").pk,
    }


def _health(client: Any) -> dict[str, Any]:
    letter = record_clearance(
        by=SYSTEM,
        client=client,
        facts=ClearanceFact(said_on=TODAY, clinician="Dr Maura Tansey"),
        document=read_document("letter.pdf", PDF),
    )
    sign = record_warning_sign(by=SYSTEM, client=client, code="dizzy", happened_on=TODAY)
    condition = name_condition(
        by=SYSTEM, client=client, code="anaemia", named_on=TODAY, clinician="Dr Maura Tansey"
    )
    note = write_entry(by=SYSTEM, client=client, kind="note", day=TODAY, text="Slept well.")
    return {
        "clearance": letter.pk,
        "sign": sign.pk,
        "condition": condition.pk,
        "note": note.pk,
        "letter out": _letter_out(client),
        "assessment": _assessment(client),
        "own measure": OwnMeasure.objects.create(name="Side plank", unit="s", better="more").pk,
        **_form(client),
    }


def _assessment(client: Any) -> UUID:
    """A finished one with a test in it."""
    values = {"width-navel-rest": 20, "test-hop-left": 10}
    return health.assessment(client, date(2026, 10, 1), **values).key


def _letter_out(client: Any) -> int:
    with files.atomic():
        pdf = files.store(name="letter.pdf", content=PDF, content_type="application/pdf")
    row = LetterOut.objects.create(
        client=client, kind="clearance", made_on=TODAY, document=pdf, to_kind="midwife"
    )
    return row.pk


def _form(client: Any) -> dict[str, Any]:
    form = make_link(by=SYSTEM, client=client)
    Browser().get(reverse("form:begin", args=[token_of(form)]))  # notes when it was first opened
    return {"form": form.pk, "form token": token_of(form), "form step": "you"}


def _money(client: Any) -> dict[str, Any]:
    package = add_package(
        by=SYSTEM, title="Four", kind="sessions", count=4, price_minor=20000, tax_bp=0
    )
    sale = sell(by=SYSTEM, package=package, client=client, sold_on=TODAY)
    invoice = draft_from_sale(by=SYSTEM, sale=sale)
    issue(by=SYSTEM, invoice=invoice, today=TODAY)
    draft = draft_invoice(by=SYSTEM, client=client, lines=[Line("A class", 1, 5000, 0)])
    paid = record_payment(
        by=SYSTEM, invoice=invoice, amount_minor=5000, method="card", received_on=TODAY
    )
    return {
        "package": package.pk,
        "sale": sale.uid,
        "use": use_session(by=SYSTEM, sale=sale, on=TODAY).pk,
        "invoice": invoice.uid,
        "draft": draft.uid,
        "payment": paid.pk,
    }
