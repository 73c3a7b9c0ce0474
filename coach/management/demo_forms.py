"""Forms by link of the demo practice: made, half filled in, sent by somebody new, by a client."""

from __future__ import annotations

from datetime import date, timedelta

from clients.actions.intake import keep_age, keep_step, make_link, note_opening, send
from clients.forms.intake_steps import Visit, told_of
from clients.models import Client, Enquiry, Intake
from clients.queries.intake import days_for, recorded_of, token_of, whose
from clients.rules.intake import Step
from clients.rules.intake_health import asked_in
from clients.rules.warning_signs import PREGNANT
from coach.practice import audit

_BORN = date(1993, 9, 14)
_AGREED = {"health": "on", "clinician": "on", "email": "on"}


def fill(today: date) -> None:
    """Whoever is named here is made by the other parts of the demo."""
    make_link(by=audit.SYSTEM, client=Client.objects.get(name="Freya Lindqvist-Hale"))
    asked = Enquiry.objects.filter(name="Perdita Lockhart").first()
    if asked:
        _half(make_link(by=audit.SYSTEM, enquiry=asked, name=asked.name, email=asked.email))
    _sent(
        make_link(by=audit.SYSTEM, name="Saoirse Pemberton", email="saoirse@example.org"),
        today + timedelta(days=121),
        {"anaemia": "yes"},
    )
    known = Client.objects.get(name="Bríd Quillane")
    due = known.pregnancies.get().due
    _sent(make_link(by=audit.SYSTEM, client=known), due + timedelta(days=4), {})


def _half(form: Intake) -> None:
    _begin(form)
    _keep(form, Step.YOU, _you(form.name, form.email))


def _sent(form: Intake, due: date, said: dict[str, str]) -> None:
    name = form.client.name if form.client else form.name
    email = form.client.email if form.client else form.email
    _begin(form)
    _keep(form, Step.YOU, _you(name, email))
    _keep(form, Step.PLACE, {
        "trains_at": "2 Weir Terrace, Galway", "emergency_number": "112",
        "emergency_contact": "Ruairí (partner)", "emergency_phone": "+353 85 012 5521",
    })  # fmt: skip
    _keep(form, Step.NOW, {"situation": "carrying"})
    _keep(form, Step.DATES, {"day": due.isoformat(), "dated_by": "clinician", "how_many": "1"})
    for step in (Step.SIGNS, Step.HEALTH):
        every = dict.fromkeys(asked_in(step, PREGNANT), "no")
        _keep(form, step, {**every, **{code: said[code] for code in said if code in every}})
    _keep(form, Step.CONSENT, _AGREED)
    send(by=audit.SYSTEM, intake=form, key=form.uid.hex, told=told_of(_visit(form))[0])


def _you(name: str, email: str) -> dict[str, str]:
    return {"name": name, "email": email, "phone": "+353 85 012 3359",
            "time_zone": "Europe/Dublin"}  # fmt: skip


def _begin(form: Intake) -> None:
    note_opening(by=audit.SYSTEM, intake=form)
    keep_age(by=audit.SYSTEM, intake=form, born=_BORN)


def _keep(form: Intake, step: Step, values: dict[str, str]) -> None:
    keep_step(by=audit.SYSTEM, intake=form, step=step, values=values, came_to=str(step))


def _visit(form: Intake) -> Visit:
    form.refresh_from_db()
    return Visit(form, token_of(form), recorded_of(whose(form)), min(days_for(form)), "")
