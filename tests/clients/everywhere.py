"""Every page that can be opened, and what each says of one client."""

from __future__ import annotations

import io
import re
import shutil
import subprocess
from collections.abc import Iterator, Mapping
from datetime import date
from html.parser import HTMLParser
from typing import Any

from django.core.management import call_command
from django.test import Client as Browser
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from clients.actions.intake import keep_age, make_link
from clients.models import Client, Enquiry, Intake, OwnMeasure
from clients.queries.intake import token_of
from coach.practice.audit import SYSTEM
from coach.practice.permissions import Role
from content.actions.design import change_design
from content.models import Away, EarlierPlan, Upload
from content.rules.design import Block, Design, Item, Pattern
from content.rules.months import Month
from tests import factories
from tests import factories_billing as money
from tests import factories_clearance as health

# Pages about signing in, and the pages that show how the site looks, know no client.
_NOT_WALKED = ("account_", "mfa_", "begin", "style", "feeds:calendar")
ON_THE_SIDE = Design((Block(patterns=(Pattern((Item("clam"),), rounds=3),)),))
TRIP = date(2027, 1, 18)
_LINES = {"li", "tr", "p", "h1", "h2", "h3", "dd", "option", "figure", "title"}


_OF_SIGN = ("clients:sign:which", "clients:follow_up:which", "clients:withdraw_sign:which")
_OF_NOTE = ("clients:change_note:which", "clients:add_to_note:which")
_OF_LETTER_OUT = tuple(
    f"clients:{name}:which"
    for name in ("letter_out", "letter_sent", "letter_chased", "letter_answered", "drop_letter")
)


def addresses(values: Mapping[str, Any]) -> list[str]:
    """Every address. `values` are for "space:parameter", or "space:name:parameter" before it.

    None: there is no such row, and the address is left out.
    """
    return sorted(set(_addresses(get_resolver(), "", values)))


def _addresses(resolver: URLResolver, space: str, values: Mapping[str, Any]) -> Iterator[str]:
    for pattern in resolver.url_patterns:
        if isinstance(pattern, URLResolver):
            yield from _addresses(pattern, space or pattern.namespace or "", values)
        elif isinstance(pattern, URLPattern):
            name = f"{space}:{pattern.name}" if space else str(pattern.name)
            if not name.startswith(_NOT_WALKED):
                arguments = _arguments(pattern, name, values)
                if None not in arguments.values():
                    yield reverse(name, kwargs=arguments)


def _arguments(pattern: URLPattern, name: str, values: Mapping[str, Any]) -> dict[str, Any]:
    """A parameter that `values` does not know is a KeyError: a new page says what it is about."""
    found = {}
    for parameter in pattern.pattern.converters:
        own = f"{name}:{parameter}"
        found[parameter] = values[own if own in values else f"{name.split(':')[0]}:{parameter}"]
    return found


def a_form(client: Client) -> Intake:
    """Her form, which she has begun."""
    form = make_link(by=SYSTEM, client=client)
    keep_age(by=SYSTEM, intake=form, born=date(1993, 9, 14))
    return form


def an_enquiry(client: Client) -> Enquiry:
    """The enquiry that she was."""
    return Enquiry.objects.create(
        name=client.name, came_on=date(2026, 6, 1), state="client", client=client
    )


def world(client: Client) -> dict[str, Any]:
    """One of everything that an address can name, hers where it can be."""
    measured = health.assessment(client, date(2026, 9, 14), test_hop_left=10)
    sale = money.sale(client)
    invoice = money.issued(client)
    paid = money.paid(invoice, 5_000)
    day_off = factories.day_off(date(2027, 1, 20))
    upload = factories.upload(date(2027, 1, 9))
    change_design(by=SYSTEM, item=upload.item, step=lambda _: ON_THE_SIDE, what="x")
    factories.wishes()
    letter, sign = client.clearances.first(), client.signs.first()
    note, condition = client.entries.first(), client.conditions.first()
    out, form = client.letters_out.first(), a_form(client)
    pregnancy = client.pregnancies.first()
    return {
        "clients:pk": client.pk,
        "clients:key": measured.key,
        "clients:own_measure:which": OwnMeasure.objects.create(name="Side plank").pk,
        "diary:pk": client.pk,
        "clients:edit_pregnancy:which": pregnancy and pregnancy.pk,
        "clients:record_end:which": pregnancy and pregnancy.pk,
        "clients:withdraw_clearance:which": letter and letter.pk,
        "clients:letter:which": None,
        **dict.fromkeys(_OF_SIGN, sign and sign.pk),
        **dict.fromkeys(_OF_NOTE, note and note.pk),
        **dict.fromkeys(_OF_LETTER_OUT, out and out.pk),
        "clients:end_condition:which": condition and condition.pk,
        "clients:enquiry": an_enquiry(client).pk,
        "clients:form": form.pk,
        "clients:intake_document:form": None,
        "form:token": token_of(form),
        "form:step": "you",
        "accounts:pk": client.pk,
        "accounts:edit_package:pk": sale.package_id,
        "accounts:reverse:pk": paid.pk,
        "accounts:uid": invoice.uid,
        "accounts:sale:uid": sale.uid,
        "accounts:cancel_sale:uid": sale.uid,
        "accounts:draft:uid": money.draft(client).uid,
        "uploads:month": Month(2027, 1),
        "uploads:day": date(2027, 1, 5),
        "uploads:pk": upload.pk,
        "uploads:remove_day_off:pk": day_off.pk,
        "uploads:away_back:pk": Away.objects.create(first=TRIP, last=TRIP).pk,
        "uploads:code": "sound-checked",
        "uploads:number": a_plan(Month(2027, 1), upload),
        "classes:pk": upload.item_id,
        "classes:client": client.pk,
        "classes:for_stage:code": "t3",
        "classes:version:code": "t3",
        "classes:code": "bird-dog",
        "practice:pk": factories.person(Role.ASSISTANT, email="helper@example.org").pk,
    }


def a_plan(month: Month, upload: Upload) -> int:
    """A plan of a month as it was accepted."""
    values = {"status": "optimal", "value": 1, "bound": 1, "uploads": [upload.pk]}
    slots = [{"day": upload.day.isoformat(), "class": upload.item_id}]
    EarlierPlan.objects.create(month=month.first, number=1, what="accepted", slots=slots, **values)
    return 1


def walk(browser: Browser, values: Mapping[str, Any]) -> dict[str, str]:
    """The source of every page that this browser may open, by address."""
    found = {}
    for address in addresses(values):
        answer = browser.get(address)
        assert answer.status_code in {200, 302, 403, 405}, (address, answer.status_code)
        if answer.status_code == 200 and answer.headers["Content-Type"].startswith("text/html"):
            found[address] = answer.content.decode()
    return found


class _Lines(HTMLParser):
    """The lines of a page: each with all that stands in its source, forms and scripts left out."""

    def __init__(self, *, with_forms: bool) -> None:
        super().__init__()
        self.left_out = {"script", "style"} | (set() if with_forms else {"form", "select"})
        self.open: list[tuple[str, list[str]]] = []
        self.hidden = 0
        self.lines: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in self.left_out:
            self.hidden += 1
        if dict(attrs).get("name") != "csrfmiddlewaretoken":
            self.add(" ".join(f"{name}={value}" for name, value in attrs if name != "class"))
        if tag in _LINES:
            self.open.append((tag, []))

    def handle_endtag(self, tag: str) -> None:
        if tag in self.left_out:
            self.hidden -= 1
        if self.open and tag == self.open[-1][0]:
            text = " ".join(" ".join(self.open.pop()[1]).split())
            self.lines.append(text)
            self.add(text)

    def handle_data(self, data: str) -> None:
        self.add(data)

    def add(self, text: str) -> None:
        if self.hidden == 0 and self.open:
            self.open[-1][1].append(text)


def lines(page: str, *, with_forms: bool = True) -> list[str]:
    """The lines of a page with the attributes in them, inner ones before the outer."""
    parser = _Lines(with_forms=with_forms)
    parser.feed(page)
    return parser.lines


def lines_about(page: str, *names: str) -> list[str]:
    """The lines that name her."""
    return [line for line in lines(page) if any(name in line for name in names)]


def main_of(page: str) -> str:
    """The source between masthead and foot, and the title; no token against forged requests."""
    main = page.partition("<main")[2].partition(">")[2].partition("</main>")[0] or page
    title = page.partition("<title>")[2].partition("</title>")[0]
    return re.sub(r'name="csrfmiddlewaretoken" value="[^"]*"', "", f"{title} {main}")


def text_of(page: str) -> str:
    """What a page says beside its forms: no tags, single spaces."""
    without = re.sub(r"<form.*?</form>", " ", main_of(page), flags=re.DOTALL)
    return " ".join(re.sub(r"<[^>]+>", " ", without).split())


def printed(*command: str) -> str:
    """What a command prints."""
    out = io.StringIO()
    call_command(*command, stdout=out)
    return out.getvalue()


def pdf_text(pdf: bytes) -> str:
    """The text of a PDF, as poppler reads it."""
    tool = shutil.which("pdftotext")
    assert tool, "pdftotext of poppler is needed"
    done = subprocess.run([tool, "-layout", "-", "-"], input=pdf, capture_output=True, check=True)
    return done.stdout.decode()
