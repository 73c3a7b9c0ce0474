"""Every page of the demo as the owner, in both widths and both schemes."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from datetime import date

import pytest
from playwright.sync_api import Page

from clients.models import Client, Enquiry, Intake, WarningSign
from coach.billing.models import Invoice
from coach.management import demo_practice
from coach.practice.audit import SYSTEM
from coach.practice.models import User
from content.actions.earlier import keep_plan
from content.models import FitnessClass, Proposal

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

PAGES = (
    "/",
    "/uploads/2027-01/",
    "/uploads/2026-12/",
    "/uploads/wishes/",
    "/uploads/pace/",
    "/uploads/making/",
    "/uploads/checklist/",
    "/uploads/away/",
    "/uploads/away/?first=2026-12-08&last=2026-12-20&why=holiday",
    "/uploads/2027-01/plans/",
    "/uploads/2027-01/plans/1/",
    "/classes/",
    "/classes/history/",
    "/classes/add/",
    "/classes/{class}/",
    "/classes/{class}/edit/",
    "/classes/{class}/design/",
    "/classes/{class}/design/?find=bridge&at=1.0",
    "/classes/{class}/suits/",
    "/classes/{class}/version/t3/",
    "/classes/{class}/version-for/{runs}/",
    "/classes/{class}/as-filmed/",
    "/classes/{class}/captions/",
    "/classes/{class}/timer/",
    "/classes/{class}/text/",
    "/classes/description/",
    "/classes/exercises/",
    "/classes/exercises/bird-dog/",
    "/classes/exercises/bird-dog/edit/",
    "/classes/suits/",
    "/classes/for-stage/t3/",
    "/classes/for/{runs}/",
    "/clients/",
    "/clients/?stage=t3",
    "/clients/add/",
    "/clients/{client}/",
    "/clients/{client}/edit/",
    "/clients/{quiet}/",
    "/clients/{past due}/",
    "/clients/clearance/",
    "/clients/{client}/clearance/add/",
    "/clients/{client}/signs/add/",
    "/clients/{client}/assess/",
    "/clients/{runs}/assess/",
    "/clients/{client}/assessments/",
    "/clients/{runs}/assessments/",
    "/clients/{client}/readiness/",
    "/clients/{runs}/readiness/",
    "/clients/{runs}/report/",
    "/clients/{client}/finger/",
    "/clients/measuring/",
    "/clients/measuring/own/add/",
    "/clients/{held}/",
    "/clients/{held}/signs/{sign}/",
    "/clients/{client}/questions/",
    "/clients/{client}/named/add/",
    "/clients/{client}/place/",
    "/clients/{client}/notes/add/",
    "/clients/{client}/consents/",
    "/clients/{asked}/letters/",
    "/clients/{asked}/letters/ask/",
    "/clients/{held}/letters/refer/",
    "/clients/{run out}/exception/",
    "/clients/policy/",
    "/clients/enquiries/",
    "/clients/enquiries/add/",
    "/clients/enquiries/{enquiry}/",
    "/clients/forms/",
    "/clients/forms/{form}/",
    "/clients/forms/{form}/review/",
    "/diary/",
    "/diary/clients/{client}/rhythm/",
    "/diary/clients/{client}/snooze/",
    "/accounts/",
    "/accounts/packages/",
    "/accounts/packages/add/",
    "/accounts/sales/",
    "/accounts/sales/add/",
    "/accounts/invoices/",
    "/accounts/invoices/add/",
    "/accounts/invoices/{invoice}/",
    "/accounts/invoices/{draft}/draft/",
    "/accounts/month/",
    "/practice/",
    "/practice/details/",
    "/practice/people/",
    "/practice/trail/",
    "/practice/roles/",
    "/feeds/",
    "/style/",
    "/account/password/change/",
    "/account/2fa/",
)


@pytest.fixture
def places(today: date) -> dict[str, object]:
    """The demo, with the keys of the rows that the addresses name."""
    demo_practice.build(today)
    keep_plan(Proposal.objects.get(), "made", by=SYSTEM, slots=Proposal.objects.get().slots)
    by_name = dict(Client.objects.values_list("name", "pk"))
    return {
        "class": FitnessClass.objects.get(title="Standing core: faster feet").pk,
        "client": by_name["Honora Finch"],
        "runs": by_name["Tamsin Locke"],
        "quiet": by_name["Clodagh Rainsford"],
        "past due": by_name["Laoise Penhale"],
        "held": by_name["Kalliope Demas"],
        "sign": WarningSign.objects.get(client__name="Kalliope Demas").pk,
        "asked": by_name["Pádraigín Moss"],
        "run out": by_name["Eimear Castlane"],
        "enquiry": Enquiry.objects.get(name="Perdita Lockhart").pk,
        "form": Intake.objects.get(name="Saoirse Pemberton").pk,
        "invoice": Invoice.objects.filter(number__isnull=False).latest("issued_on").uid,
        "draft": Invoice.objects.filter(number__isnull=True).latest("pk").uid,
    }


@pytest.mark.parametrize("half", range(2))
def test_no_page_complains_or_overflows(
    places: dict[str, object], window: Callable[..., Page], half: int
) -> None:
    """Each page once; then 390 and 1280 px, 360 px, and text twice the size."""
    assert looked_through(places, window, PAGES[half::2], lambda _: []) == {}


@pytest.mark.endurance
@pytest.mark.parametrize("third", range(3))
def test_no_page_shuts_anybody_out(
    places: dict[str, object],
    window: Callable[..., Page],
    axe: Callable[..., list[str]],
    third: int,
) -> None:
    """At 390 and 1280 px, light and dark."""
    assert looked_through(places, window, PAGES[third::3], lambda page: accessible(page, axe)) == {}


def looked_through(
    places: dict[str, object],
    window: Callable[..., Page],
    pages: Iterable[str],
    more: Callable[[Page], Iterable[str]],
) -> dict[str, list[str]]:
    """What is wrong with each of some pages."""
    page = window(user=User.objects.get(email=demo_practice.EMAIL))
    wrong = {}
    for place in pages:
        path = place.format(**places)
        page.goto(path)
        if found := [*doubled_ids(page), *more(page), *overflowing(page)]:
            wrong[path] = found
    return wrong


def accessible(page: Page, axe: Callable[..., list[str]]) -> Iterator[str]:
    for width in (390, 1280):
        # Tall, or what lies under the bar at a phone's foot would count as covered.
        page.set_viewport_size({"width": width, "height": 8000})
        page.emulate_media(color_scheme="light")
        yield from (f"{width} light: {found}" for found in axe(page))
        page.emulate_media(color_scheme="dark")
        # Nothing but colour differs.
        yield from (f"{width} dark: {found}" for found in axe(page, "color-contrast"))


def overflowing(page: Page) -> Iterator[str]:
    for width, text in ((1280, 100), (390, 100), (360, 100), (640, 200)):
        page.set_viewport_size({"width": width, "height": 844})
        page.evaluate(
            "size => document.documentElement.style.setProperty('font-size', size)", f"{text}%"
        )
        if page.evaluate("document.documentElement.scrollWidth > innerWidth"):
            yield f"wider than {width} px with text at {text} %"


def doubled_ids(page: Page) -> list[str]:
    """A label leads to the first of two fields with one id."""
    ids: list[str] = page.evaluate("[...document.querySelectorAll('[id]')].map(one => one.id)")
    return [f"id {one} twice" for one in sorted(set(ids)) if ids.count(one) > 1]
