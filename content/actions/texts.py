"""Writes of what is published about classes."""

from __future__ import annotations

from django.db import transaction

from coach.practice import audit
from coach.practice.audit import Actor
from coach.practice.writing import change
from content.actions.uploads import Refused
from content.models import ClassText, DescriptionTemplate, FitnessClass
from content.queries.texts import template, words_of
from content.rules import claims
from content.rules.description import LONGEST, Template, typed_text, unknown_fields

MOST_TYPED, MOST_TITLE = 2 * LONGEST, 160
NOT_IN_IT = "These words are not in it any more."


@transaction.atomic
def keep_description(*, by: Actor, item: FitnessClass, description: str) -> ClassText:
    """Keep her own words for a class; none, or those of the template: the template's from now on.

    Refused beyond twice what hosts take.
    """
    words = _checked(description)
    row = _hold(item)
    if changed := change(row, description="" if words == typed_text(template().text) else words):
        audit.record(by=by, verb="changed", subject=item, fields=changed)
    return row


@transaction.atomic
def put_plainer(*, by: Actor, item: FitnessClass, key: str, typed: str) -> ClassText:
    """Put plainer words in the place of a promise, and keep what was typed with them."""
    words = typed_text(typed)
    plainer = claims.put_plainer(words, key)
    if plainer == words:
        raise Refused(NOT_IN_IT)
    return keep_description(by=by, item=item, description=plainer)


@transaction.atomic
def put_plainer_title(*, by: Actor, item: FitnessClass, key: str) -> FitnessClass:
    """Put plainer words in the place of a promise in the title."""
    item.refresh_from_db(from_queryset=FitnessClass.objects.select_for_update())
    plainer = claims.put_plainer(item.title, key)
    if plainer == item.title:
        raise Refused(NOT_IN_IT)
    if len(plainer) > MOST_TITLE:
        raise Refused(f"The title would be longer than {MOST_TITLE} letters: change it yourself.")
    changed = change(item, title=plainer)
    audit.record(by=by, verb="changed", subject=item, fields=changed)
    return item


@transaction.atomic
def keep_promise(*, by: Actor, item: FitnessClass, key: str, typed: str) -> ClassText:
    """Keep the words of a promise knowingly, and what was typed; Refused for one not in it."""
    if key not in words_of(item, typed=typed_text(typed)).keys:
        raise Refused(NOT_IN_IT)
    row = keep_description(by=by, item=item, description=typed)
    changed = change(row, kept_claims=sorted({*row.kept_claims, key}))
    words = key.partition(":")[2]
    audit.record(by=by, verb="kept a promise in", subject=item, fields=changed, reason=words)
    return row


@transaction.atomic
def ask_again(*, by: Actor, item: FitnessClass, key: str) -> ClassText:
    """Keep a promise no longer knowingly: it is told of again."""
    row = _hold(item)
    if key not in row.kept_claims:
        raise Refused(NOT_IN_IT)
    changed = change(row, kept_claims=[one for one in row.kept_claims if one != key])
    words = key.partition(":")[2]
    audit.record(by=by, verb="asks again about", subject=item, fields=changed, reason=words)
    return row


@transaction.atomic
def keep_template(*, by: Actor, text: str, links: str = "") -> DescriptionTemplate:
    """Keep the template of descriptions and its links; Refused for a field that there is not."""
    kept = Template(_checked(text), _checked(links))
    if unknown := unknown_fields(kept.text):
        raise Refused(f"There is no field {{{unknown[0]}}}.")
    row, _ = DescriptionTemplate.objects.select_for_update().get_or_create(pk=1)
    if changed := change(row, text=kept.stored):
        audit.record(by=by, verb="changed", subject=row, fields=changed)
    return row


def _checked(text: str) -> str:
    words = typed_text(text)
    if len(words) > MOST_TYPED:
        raise Refused(f"At most {MOST_TYPED} letters.")
    return words


def _hold(item: FitnessClass) -> ClassText:
    FitnessClass.objects.select_for_update().get(pk=item.pk)
    row = ClassText.objects.select_for_update().filter(item=item).first()
    return row or ClassText.objects.create(item=item)
