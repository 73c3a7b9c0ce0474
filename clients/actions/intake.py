"""Writes of a form by link: the coach makes it, its client fills it in without an account.

What the client writes is kept draft by draft; the trail has an entry where she begins a step,
says something that stops or holds her, and sends: one for each change would drown it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta
from smtplib import SMTPException
from typing import Any
from zoneinfo import ZoneInfo

from django.core.mail import send_mail
from django.db import transaction

from clients.actions.conditions import running
from clients.actions.roster import change_pregnancy
from clients.actions.screening import record_answer
from clients.actions.shared import Refused
from clients.models import Client, Enquiry, EnquiryState, Intake
from clients.queries.intake import days_for, is_live, is_stopped, whose
from clients.queries.roster import facts_of
from clients.rules import intake as rules
from clients.rules.consents import purposes
from clients.rules.documents import Document
from clients.rules.intake import MINOR, Step
from clients.rules.intake_health import NUMBERS, age_of, counted, heard
from clients.rules.pregnancies import Problem
from coach import clock
from coach.practice import audit, files
from coach.practice.audit import Actor
from coach.practice.queries import the_practice
from coach.practice.writing import change

_CLOSED = "This form is closed."


class Closed(Refused):
    """The form can’t be filled in any more: run out, withdrawn or sent meanwhile."""


MAIL_SUBJECT = "A form from {practice}"
MAIL_TEXT = """Hello{name},

{practice} asks you to fill in a form before you begin:

{address}

It is for you alone, so please don’t pass the address on. It takes about ten minutes, keeps what
you have typed as you go, and is open until {until}.

{practice}
"""


@transaction.atomic
def make_link(
    *,
    by: Actor,
    client: Client | None = None,
    enquiry: Enquiry | None = None,
    name: str = "",
    email: str = "",
) -> Intake:
    """A form for one person, open for 14 days; while she has one that is open, that one.

    For an enquiry that has become a client it is that client's. Refused for somebody new without
    a name.
    """
    if enquiry:
        # A client may be wanting: of such a join only the row itself can be held.
        rows = Enquiry.objects.select_for_update(of=("self",)).select_related("client")
        enquiry = rows.get(pk=enquiry.pk)
        client = client or enquiry.client
    known = client or enquiry
    name = known.name if known else name.strip()
    if not name:
        raise Refused([Problem("name", "Write for whom it is.")])
    if there := _open_one(client, enquiry):
        return there
    now = clock.now()
    made = Intake.objects.create(
        client=client,
        enquiry=enquiry,
        name=name,
        email=email or (known.email if known else ""),
        made_by=by.user,
        expires_at=now + timedelta(days=rules.LINK_DAYS),
    )
    if enquiry and enquiry.state == EnquiryState.OPEN:
        change(enquiry, state=EnquiryState.INVITED)
    audit.record(by=by, verb="made", subject=made, fields={"name", "email", "expires_at"})
    return made


def _open_one(client: Client | None, enquiry: Enquiry | None) -> Intake | None:
    if not client and not enquiry:
        return None
    wanted = {"client": client} if client else {"enquiry": enquiry}
    rows = Intake.objects.select_for_update().filter(**wanted)
    return next((row for row in rows if is_live(row, clock.now())), None)


@transaction.atomic
def withdraw_link(*, by: Actor, intake: Intake) -> Intake:
    """Close a form that is not sent: its address opens nothing any more, and its draft is erased.

    What stops or holds her stays. Refused when it is sent.
    """
    lock_form(intake)
    if intake.sent_at:
        raise Refused([Problem("", "She has sent it already.")])
    kept = {"said": intake.answers["said"]} if intake.answers.get("said") else {}
    changed = change(intake, withdrawn_at=intake.withdrawn_at or clock.now(), answers=kept)
    drop_document(intake)
    audit.record(by=by, verb="withdrew", subject=intake, fields=changed)
    return intake


@transaction.atomic
def mail_link(*, by: Actor, intake: Intake, address: str, email: str = "") -> Intake:
    """Send the address of the form by e-mail, in words that tell nothing of health.

    Refused without an e-mail address, for a form that is closed, and when it could not be sent.
    """
    lock_form(intake)
    practice, to = the_practice(), email or intake.email
    if not to:
        raise Refused([Problem("email", "Write her e-mail address.")])
    if not is_live(intake, clock.now()):
        raise Refused([Problem("email", _CLOSED)])
    until = intake.expires_at.astimezone(ZoneInfo(practice.time_zone)).date()
    text = MAIL_TEXT.format(
        practice=practice.name,
        name=f" {intake.name}" if intake.name else "",
        address=address,
        until=f"{until.day} {until:%B}",
    )
    try:
        send_mail(MAIL_SUBJECT.format(practice=practice.name), text, None, [to])
    except (OSError, SMTPException) as error:
        raise Refused([Problem("email", "The e-mail could not be sent. Copy the address.")]) from (
            error
        )
    changed = change(intake, email=to, mailed_at=clock.now())
    audit.record(by=by, verb="mailed", subject=intake, fields=changed)
    return intake


@transaction.atomic
def note_opening(*, by: Actor, intake: Intake) -> None:
    """Note that the link was opened, the first time."""
    if intake.opened_at is None:
        change(intake, opened_at=clock.now())
        audit.record(by=by, verb="opened", subject=intake)


@transaction.atomic
def keep_age(*, by: Actor, intake: Intake, born: date) -> Intake:
    """Keep her day of birth. Under 18 the form stops for her guardian's consent and the coach.

    Once she is stopped by it, only the coach can have her asked again.
    """
    _lock_live(intake)
    if is_stopped(intake):
        return intake
    draft = {**intake.answers, "born": born.isoformat()}
    _keep(by, intake, draft, verb="began", fields={"born"})
    return intake


@files.atomic()
def keep_step(
    *, by: Actor, intake: Intake, step: Step, values: Mapping[str, str], came_to: str = ""
) -> list[str]:
    """Keep what stands in a step so far; what stops or holds her acts in this moment.

    `values` by the names of the step's fields, judged or not. `came_to`: the step that the link
    opens next. Returns the codes of the answers that stop or hold her in this step now.
    """
    _lock_live(intake)
    before = intake.answers
    typed = {name: value for name, value in values.items() if value != ""}
    steps = dict(before.get("steps", {}))
    if typed or step in steps:
        steps[step] = typed
    draft: dict[str, Any] = {**before, "steps": steps} if steps else dict(before)
    if came_to:
        draft["at"] = came_to
    if step == Step.CONSENT:
        draft = {**draft, "ticked": _ticked(before, typed)}
    found = []
    if step in {Step.SIGNS, Step.HEALTH, Step.DATES}:
        answers = counted(typed) if step == Step.DATES else typed
        now, today = clock.now(), min(days_for(intake))
        found = heard(answers, age_of(draft, today))
        draft = rules.with_said(draft, found, now=now, today=today)
        draft = rules.with_changed(draft, answers, now=now)
        _act(by, intake, before, draft)
    begins = {str(step)} if step in steps and step not in before.get("steps", {}) else set()
    _keep(by, intake, draft, verb="wrote", fields=begins)
    return [one.code for one in found if one.effect in {rules.STOP, rules.HOLD}]


def _ticked(before: Mapping[str, Any], typed: Mapping[str, str]) -> dict[str, dict[str, str]]:
    """The consents that are ticked, each with its version and the time it was ticked."""
    earlier, now = before.get("ticked", {}), clock.now().isoformat()
    return {
        code: kept
        if (kept := earlier.get(code)) and kept["version"] == one.version
        else {"version": one.version, "at": now}
        for code, one in purposes().items()
        if code in typed
    }


def _act(by: Actor, intake: Intake, before: Mapping[str, Any], draft: Mapping[str, Any]) -> None:
    """A known client's record hears of a stop or hold at once, sent or not."""
    earlier = before.get("said", {})
    for code, one in draft.get("said", {}).items():
        client = whose(intake)
        if client is None or one == earlier.get(code):
            continue
        if code in NUMBERS:
            expect_at_least(by, client, NUMBERS[code])
        else:
            record_answer(by=by, client=client, code=code, answer=one["answer"], intake=intake)


def expect_at_least(by: Actor, client: Client, number: int) -> bool:
    """Put a greater number expected on her running pregnancy: it holds or stops by its own rule.

    False where no pregnancy runs on record, or what is there does not hold together: the form’s
    alarm rings meanwhile.
    """
    row = running(client)
    if row is None or row.expected >= number:
        return row is not None
    try:
        change_pregnancy(by=by, pregnancy=row, facts=replace(facts_of(row), expected=number))
    except Refused:
        return False
    return True


def _keep(
    by: Actor, intake: Intake, draft: Mapping[str, Any], *, verb: str, fields: set[str]
) -> None:
    """Store the draft with its alarm; an entry where `fields` or the alarm have changed."""
    stopped = rules.is_stopped(draft, intake.guardian, days_for(intake, draft))
    alarm = rules.graver(rules.gravest(draft), MINOR if stopped else "")
    changed = change(intake, answers=dict(draft), alarm=alarm)
    if fields or "alarm" in changed:
        audit.record(by=by, verb=verb, subject=intake, fields=fields | (set(changed) & {"alarm"}))


@files.atomic()
def take_document(*, by: Actor, intake: Intake, document: Document | None) -> Intake:
    """Keep the letter in place of an earlier one; None takes it away."""
    _lock_live(intake)
    drop_document(intake)
    if document:
        stored = files.store(
            name=document.name, content=document.content, content_type=document.content_type
        )
        change(intake, document=stored)
    audit.record(by=by, verb="wrote", subject=intake, fields={"document"})
    return intake


def drop_document(intake: Intake) -> None:
    """Erase the file of a form that was not sent."""
    old = intake.document
    if old:
        change(intake, document=None)
        files.remove(old)


@transaction.atomic
def send(*, by: Actor, intake: Intake, key: str, told: Mapping[str, Any]) -> Intake:
    """Hand the form over, once: a second sending with the same key changes nothing.

    `told`: what each step came to, judged by its form. Refused while she is a minor and nothing
    is decided, without a name and a time zone, and without the consent that keeping it needs.
    """
    lock_form(intake)
    if intake.sent_at and intake.answers.get("key") == key:
        return intake
    _lock_live(intake)
    you = told.get(Step.YOU, {})
    found = []
    if not intake.answers.get("born") or is_stopped(intake):
        found.append(Problem("", "Your coach has to decide first whether you can go on."))
    if not you.get("name") or not you.get("time_zone"):
        found.append(Problem(Step.YOU, "Your name and your time zone are missing."))
    ticked = intake.answers.get("ticked", {})
    if any(one.needed and code not in ticked for code, one in purposes().items()):
        found.append(Problem(Step.CONSENT, "Without your consent nothing can be kept or sent."))
    if found:
        raise Refused(found)
    draft = {**intake.answers, "told": dict(told), "key": key}
    change(intake, answers=draft, sent_at=clock.now(), name=you["name"])
    audit.record(by=by, verb="sent", subject=intake, fields={"answers"})
    return intake


@transaction.atomic
def decide_minor(
    *,
    by: Actor,
    intake: Intake,
    decision: str,
    guardian: str = "",
    consented_on: date | None = None,
) -> Intake:
    """What the coach decides for somebody under 18: "go on", "no", or "ask again" (mistyped).

    To go on needs who consented for her and when. Kept with who decided and when.
    """
    lock_form(intake)
    if intake.sent_at or not intake.answers.get("born"):
        raise Refused([Problem("decision", "There is nothing to decide here any more.")])
    if decision not in {"go on", "no", "ask again"}:
        raise Refused([Problem("decision", "Choose one.")])
    if decision == "go on":
        _need_guardian(guardian, consented_on, max(days_for(intake)))
    kept = {
        "decision": decision,
        "guardian": guardian.strip(),
        "consented_on": consented_on.isoformat() if consented_on else "",
        "by": by.user.pk if by.user else None,
        "by_name": by.user.name if by.user else "",
        "at": clock.now().isoformat(),
    }
    draft = dict(intake.answers)
    if decision == "ask again":
        del draft["born"]
    changed = change(intake, guardian=kept)
    _keep(by, intake, draft, verb="decided", fields=set(changed))
    return intake


def _need_guardian(guardian: str, consented_on: date | None, today: date) -> None:
    found = []
    if not guardian.strip():
        found.append(Problem("guardian", "Write who consented for her."))
    if consented_on is None:
        found.append(Problem("consented_on", "Write on which day."))
    elif consented_on > today:
        found.append(Problem("consented_on", "That day has not come yet."))
    if found:
        raise Refused(found)


def lock_form(intake: Intake) -> None:
    """The form as it is now, held until the transaction ends."""
    intake.refresh_from_db(from_queryset=Intake.objects.select_for_update())


def _lock_live(intake: Intake) -> None:
    lock_form(intake)
    if not is_live(intake, clock.now()):
        raise Closed([Problem("", _CLOSED)])
