"""Packages: added, changed, retired and sold again."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from coach.billing.models import Package, Sale
from coach.practice.models import AuditEntry, Practice
from tests import factories_billing as made

LIST, ADD = reverse("accounts:packages"), reverse("accounts:add_package")


def typed(**values: Any) -> dict[str, Any]:
    """A form filled in without a mistake, unless said otherwise."""
    filled = {
        "title": "Eight sessions",
        "kind": "sessions",
        "count": "8",
        "price_minor": "1,360.50",
        "tax_bp": "13.5",
        "prices_include_tax": "on",
        "validity_days": "90",
    }
    return {**filled, **values}


def test_what_is_typed_is_kept_in_minor_units_and_basis_points(browser: Browser) -> None:
    answer = browser.post(ADD, typed(title="  Eight sessions "))
    assert answer.url == LIST
    assert Package.objects.values(
        "title", "kind", "count", "price_minor", "currency", "tax_bp", "validity_days", "retired"
    ).get() == {
        "title": "Eight sessions",
        "kind": "sessions",
        "count": 8,
        "price_minor": 136_050,
        "currency": "EUR",
        "tax_bp": 1350,
        "validity_days": 90,
        "retired": False,
    }
    assert AuditEntry.objects.values_list("verb", flat=True).last() == "added"


def test_a_new_one_starts_at_the_usual_rate_of_the_practice(
    browser: Browser, practice: Practice
) -> None:
    practice.tax_basis_points = 2300
    practice.save()
    html = browser.get(ADD).content.decode()
    assert 'name="tax_bp" value="23"' in html
    assert "Price of it all, EUR" in html


@pytest.mark.parametrize(
    ("wrong", "errors"),
    [
        ({"title": " "}, {"title": ["Give it a name."]}),
        ({"kind": ""}, {"kind": ["Sessions or weeks."]}),
        ({"count": "0"}, {"count": ["A whole number from 1 to 500."]}),
        ({"count": "many"}, {"count": ["A whole number from 1 to 500."]}),
        ({"price_minor": ""}, {"price_minor": ["Write the price; 0 for a gift."]}),
        ({"price_minor": "12,50"}, {"price_minor": ["Write the amount like 1234.50."]}),
        ({"price_minor": "1.234"}, {"price_minor": ["EUR has 2 digits after the point."]}),
        ({"price_minor": "-1"}, {"price_minor": ["Not less than nothing."]}),
        ({"price_minor": "1000000000.01"}, {"price_minor": ["That is too much."]}),
        ({"tax_bp": "a fifth"}, {"tax_bp": ["Write the rate like 23 or 13.5."]}),
        ({"tax_bp": "100.5"}, {"tax_bp": ["At most 100 %."]}),
        ({"tax_bp": "1.234"}, {"tax_bp": ["At most two digits after the point."]}),
        (
            {"validity_days": "0"},
            {"validity_days": ["A number of days from 1 to 3,660, or nothing."]},
        ),
        (
            {"kind": "weeks"},
            {"validity_days": ["Weeks end by themselves: leave this empty."]},
        ),
    ],
)
def test_what_is_wrong_is_said_beside_its_field_and_nothing_is_kept(
    browser: Browser, wrong: dict[str, str], errors: dict[str, list[str]]
) -> None:
    answer = browser.post(ADD, typed(**wrong))
    found = {name: list(said) for name, said in answer.context["form"].errors.items()}
    assert (answer.status_code, found) == (422, errors)
    assert 'value="1,360.50"' in answer.content.decode() or "price_minor" in wrong
    assert Package.objects.count() == 0


def test_a_change_leaves_what_was_sold_as_it_was(browser: Browser) -> None:
    sale = made.sale()
    path = reverse("accounts:edit_package", args=[sale.package_id])
    assert 'value="400.00"' in browser.get(path).content.decode()
    browser.post(path, typed(price_minor="500"))
    assert Package.objects.get().price_minor == 50_000
    assert Sale.objects.get().price_minor == 40_000


def test_a_retired_one_is_listed_apart_and_can_be_sold_again(browser: Browser) -> None:
    package = made.package()
    browser.post(reverse("accounts:retire_package", args=[package.pk]))
    context = browser.get(LIST).context
    assert ([row.pk for row in context["packages"]], [row.pk for row in context["retired"]]) == (
        [],
        [package.pk],
    )
    browser.post(reverse("accounts:offer_again", args=[package.pk]))
    assert [row.pk for row in browser.get(LIST).context["packages"]] == [package.pk]


def test_the_list_says_what_each_holds(browser: Browser) -> None:
    made.sale(of=made.package())
    made.package("Six weeks", kind="weeks", count=6, validity_days=None, prices_include_tax=False)
    made.package("One", count=1, validity_days=None, tax_bp=0)
    html = browser.get(LIST).content.decode()
    assert "10 sessions, valid for 180 days, 23 % tax in the price · sold 1 time" in html
    assert "6 weeks, 23 % tax on top" in html
    assert "1 session, without an end" in html


def test_one_and_thirty_rows_cost_the_same_queries(browser: Browser) -> None:
    def count() -> int:
        with CaptureQueriesContext(connection) as queries:
            browser.get(LIST)
        return len(queries)

    made.package()
    one = count()
    for _ in range(29):
        made.sale()
    assert count() == one


def test_one_that_is_not_there_is_not_found(browser: Browser) -> None:
    assert browser.get(reverse("accounts:edit_package", args=[404])).status_code == 404
