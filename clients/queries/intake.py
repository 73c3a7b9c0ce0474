"""Reads of forms by link: whose a link is, how far each has come, what they say that is urgent."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo, available_timezones

from django.core.signing import BadSignature, Signer
from django.db.models import Q

from clients.models import Client, Intake
from clients.queries.days import days_in, practice_today
from clients.queries.screening import place_of
from clients.rules import intake as rules
from clients.rules.documents import Document
from clients.rules.intake import HOLD, MINOR, NOT_ON, STOP, Draft, LinkState, Step, typed
from clients.rules.warning_signs import AFTER, PREGNANT
from coach import clock
from coach.practice import files
from coach.practice.queries import the_practice
from coach.scheduling.dates import Ending, PregnancyDates, stage_on
from coach.scheduling.values import Stage

_SALT = "clients.intake"
_SEPARATOR = "."  # a colon would end an address in some mail programs
_NOBODY = uuid.UUID(int=0)


def token_of(intake: Intake) -> str:
    """What the link carries: the form's own random key, signed; nothing else is in it."""
    return _signer().sign(intake.uid.hex)


def found_by(token: str) -> Intake | None:
    """The form of a link, whatever its state. A token that is not ours costs the same query."""
    rows = Intake.objects.select_related("client", "document", "enquiry__client")
    return rows.filter(uid=_uid_in(token)).first()


def _uid_in(token: str) -> uuid.UUID:
    try:
        return uuid.UUID(hex=_signer().unsign(token))
    except (BadSignature, ValueError):
        return _NOBODY


def _signer() -> Signer:
    return Signer(salt=_SALT, sep=_SEPARATOR)


def is_live(intake: Intake, now: datetime) -> bool:
    """Whether its link opens it: not run out, not withdrawn, not sent."""
    return not intake.sent_at and not intake.withdrawn_at and intake.expires_at > now


def whose(intake: Intake) -> Client | None:
    """The client whose form it is, also where its enquiry became one since; None: nobody’s yet."""
    return intake.client or (intake.enquiry.client if intake.enquiry else None)


def days_for(intake: Intake, draft: Draft | None = None) -> tuple[date, ...]:
    """Today where the coach is, and where she is as far as that is known."""
    draft = intake.answers if draft is None else draft
    here = the_practice().time_zone
    client = whose(intake)
    zones = {here, client.time_zone if client else here}
    told = typed(draft, Step.YOU).get("time_zone", "")
    if told in available_timezones():
        zones.add(told)
    return tuple(sorted(clock.today(ZoneInfo(zone)) for zone in zones))


def is_stopped(intake: Intake) -> bool:
    """Whether she is under 18, where she is or where the coach is, and may not go on yet."""
    return rules.is_stopped(intake.answers, intake.guardian, days_for(intake))


@dataclass(frozen=True, slots=True)
class Recorded:
    """What is on record of a known client that changes how the form asks; else all is empty."""

    quiet: bool = False
    phase: str = ""
    number: str = ""


def recorded_of(client: Client | None) -> Recorded:
    """In one query; none for somebody new."""
    if client is None:
        return Recorded()
    today = days_in(client.time_zone, the_practice().time_zone)
    dates = [
        PregnancyDates(due=due, ended=ended, ending=Ending(ending) if ending else None)
        for due, ended, ending in client.pregnancies.values_list("due", "ended", "ending")
    ]
    stage = stage_on(dates, today.earlier)
    phase = "" if stage is Stage.UNKNOWN else PREGNANT if stage.pregnant else AFTER
    return Recorded(bool(client.quiet), phase, place_of(client).number(today.earlier))


@dataclass(frozen=True, slots=True)
class Line:
    """One form in the list."""

    intake: Intake
    state: LinkState

    @property
    def name(self) -> str:
        """Whose it is, as the practice knows her."""
        return self.intake.client.name if self.intake.client else self.intake.name


def state_of(intake: Intake, now: datetime) -> LinkState:
    """How far a form has come."""
    return rules.state_of(
        now=now,
        expires_at=intake.expires_at,
        mailed_at=intake.mailed_at,
        opened_at=intake.opened_at,
        started=bool(intake.answers.get("born")),
        withdrawn_at=intake.withdrawn_at,
        sent_at=intake.sent_at,
        reviewed_at=intake.reviewed_at,
    )


def forms(now: datetime) -> list[Line]:
    """Every form, the latest made first, in one query."""
    return [Line(row, state_of(row, now)) for row in _rows()]


def _rows() -> list[Intake]:
    return list(Intake.objects.select_related("client", "document").order_by("-pk"))


def to_review(today: date) -> list[Intake]:
    """Forms that were sent and wait for the coach, the one sent first before; one query."""
    rows = Intake.objects.filter(sent_at__isnull=False, reviewed_at=None)
    return list(rows.select_related("client").order_by("sent_at"))


@dataclass(frozen=True, slots=True)
class Alarm:
    """A form that says something the coach must know now. `word`: "stop", "hold" or "minor".

    `on`: since which day. `client` is None for somebody who is on no list yet.
    """

    intake: Intake
    word: str
    on: date
    name: str
    client: Client | None


def alarms(today: date) -> list[Alarm]:
    """Forms not reviewed yet that stop, hold or are a minor's, the gravest first; one query.

    Sent or not: of somebody who is no client yet also from a form that has run out or was
    withdrawn, because nothing else on record knows of it.
    """
    rows = Intake.objects.filter(reviewed_at=None).select_related("client")
    found = [
        Alarm(row, row.alarm, _since(row, today), row.client.name if row.client else row.name,
              row.client)
        for row in rows
        if row.alarm and _rings(row)
    ]  # fmt: skip
    order = (STOP, HOLD, MINOR)
    return sorted(found, key=lambda one: (order.index(one.word), one.on, one.intake.pk))


def _rings(row: Intake) -> bool:
    if row.alarm == MINOR:
        return is_live(row, clock.now()) and row.guardian.get("decision") != NOT_ON
    # A known client's own record rings by itself, once nothing more can come of the form.
    return row.client is None or bool(row.sent_at) or is_live(row, clock.now())


def _since(row: Intake, today: date) -> date:
    days = [date.fromisoformat(one["on"]) for one in row.answers.get("said", {}).values()]
    return min(days, default=today)


def same_person(intake: Intake) -> list[Client]:
    """Clients who may be the one who filled in the form of somebody new: same e-mail or name."""
    if whose(intake):
        return []
    told = intake.answers.get("told", {}).get(Step.YOU, {})
    wanted = Q()
    for name in ("email", "name"):
        for value in {told.get(name, ""), getattr(intake, name)} - {""}:
            wanted |= Q(**{f"{name}__iexact": value})
    return list(Client.objects.filter(wanted).only("name")) if wanted else []


def letter_from_form(client: Client, form: int) -> Document | None:
    """The letter that came with a form of hers that was taken over, for a clearance to be recorded
    from; None where there is none or it is damaged."""
    rows = client.intakes.filter(pk=form, reviewed_at__isnull=False).exclude(document=None)
    found = rows.select_related("document").first()
    stored = found.document if found else None
    if stored is None:
        return None
    try:
        return Document(stored.name, files.read(stored), stored.content_type)
    except files.FileDamaged:
        return None


def sent_day(intake: Intake) -> date:
    """The day that a form was sent, where the coach is; today for one that is not."""
    if intake.sent_at is None:
        return practice_today()
    return intake.sent_at.astimezone(ZoneInfo(the_practice().time_zone)).date()
