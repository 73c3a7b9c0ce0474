"""Writes of classes handed out: by e-mail, or as text that the coach sends herself."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from smtplib import SMTPException

from django.core.mail import send_mail
from django.db import transaction

from clients.models import Client
from clients.queries.consents import agreements_of
from coach.practice import audit
from coach.practice.audit import Actor
from coach.practice.queries import the_practice
from content.actions.uploads import Refused
from content.models import SentClass
from content.queries.suits import classes_for
from content.rules.handing_out import SUBJECT, text_for

MAIL, COPIED = "mail", "copied"


@transaction.atomic
def send_classes(
    *, by: Actor, client: Client, classes: Sequence[int], how: str, on: date
) -> list[SentClass]:
    """Tell a client which classes she can take; by `how`: "mail" or "copied".

    Each is judged once more in this moment: Refused for a class that is not offered to her now, for
    none, without her e-mail address or without her consent to e-mail.
    """
    found = classes_for(Client.objects.select_for_update().get(pk=client.pk), on)
    if found.not_cleared:
        raise Refused(found.not_cleared)
    offered = {one.item.pk: one.item for one in found.offered}
    if not classes or set(classes) - set(offered):
        raise Refused("Choose classes that are offered to her now.")
    chosen = [offered[pk] for pk in classes]
    if how == MAIL:
        _mail(client, [one.title for one in chosen])
    rows = [SentClass(item=one, client=client, how=how, by=by.user) for one in chosen]
    SentClass.objects.bulk_create(rows)
    audit.record(by=by, verb="sent classes to", subject=client, fields={"classes"})
    return rows


def _mail(client: Client, titles: Sequence[str]) -> None:
    practice = the_practice().name
    if not client.email:
        raise Refused("Her e-mail address is not known: copy the text instead.")
    agreed = {one.purpose.code: one.consent for one in agreements_of(client, practice)}
    if not agreed.get("email"):
        raise Refused("She has not agreed to e-mail: copy the text instead.")
    text = text_for(client.name, practice, titles)
    try:
        send_mail(SUBJECT.format(practice=practice), text, None, [client.email])
    except (OSError, SMTPException):
        raise Refused("The e-mail could not be sent: copy the text instead.") from None
