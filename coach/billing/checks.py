"""What `check_data` asks of this room's rows."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from typing import Any

from django.db.models import Prefetch, Sum

from coach.billing.models import Counter, Invoice, InvoiceLine, PackageKind, Sale
from coach.billing.rules.invoices import number_words
from coach.billing.rules.totals import totals
from coach.billing.rules.values import Line
from coach.scheduling.values import Finding, Severity

_NUMBERS = "Directive 2006/112/EC, Art. 226 (2)"
_SUMS = "EN 16931-1:2017, BR-CO-14 and BR-CO-15"


def numbers_without_gaps() -> Iterator[Finding]:
    """Every year's numbers run from 1 to its counter, each as printed."""
    given: defaultdict[int, list[int]] = defaultdict(list)
    issued: Iterable[Any] = Invoice.objects.filter(issued_on__isnull=False).values_list(
        "year", "place", "number"
    )
    for year, place, number in sorted(issued):
        given[year].append(place)
        if number != number_words(year, place):
            yield _stop(f"{number} is kept as number {place} of {year}.", _NUMBERS)
    last = dict(Counter.objects.values_list("year", "last"))
    for year in sorted({*given, *last}):
        if given[year] != list(range(1, last.get(year, 0) + 1)):
            yield _stop(f"The invoice numbers of {year} have a gap or a double.", _NUMBERS)


def sums_add_up() -> Iterator[Finding]:
    """The sums kept with each paper are those of its lines."""
    lines = Prefetch("lines", queryset=InvoiceLine.objects.order_by("place"))
    for invoice in Invoice.objects.prefetch_related(lines).order_by("pk").iterator(500):
        kept = (invoice.net_minor, invoice.tax_minor, invoice.gross_minor)
        rows = [Line(r.text, r.quantity, r.unit_minor, r.tax_bp) for r in invoice.lines.all()]
        sums = totals(rows, prices_include_tax=invoice.prices_include_tax)
        if kept != (sums.net_minor, sums.tax_minor, sums.gross_minor):
            yield _stop(f"The sums of {invoice} are not those of its lines.", _SUMS)


def sessions_within_the_sale() -> Iterator[Finding]:
    """No sale has more sessions used than it holds, or fewer than none."""
    for sale in Sale.objects.annotate(used=Sum("uses__count", default=0)).order_by("pk"):
        most = sale.count if sale.kind == PackageKind.SESSIONS else sale.used
        if not 0 <= sale.used <= most:
            yield _stop(f"Sale {sale.pk} has {sale.used} sessions used.", "policy of the practice")


def _stop(sentence: str, source: str) -> Finding:
    return Finding("invoice", Severity.STOP, sentence, source)
