"""Numbers without gaps, one series a year for invoices and credit notes together.

A credit note is an invoice (Directive 2006/112/EC, Art. 219), and Art. 226 asks for a sequential
number "based on one or more series": one series is the least that can go wrong. That no number may
be left out is the practice of several countries; here it holds everywhere.
"""

from __future__ import annotations

from django.db.models import F

from coach.billing.models import Counter


def next_place(year: int) -> int:
    """The next number of a year. Call it in the transaction that issues: a failure gives it back.

    The row is changed before it is read, so that others wait for it until the transaction ends;
    a database's own sequence would leave a gap at each failure.
    """
    if not _count(year):
        Counter.objects.bulk_create([Counter(year=year)], ignore_conflicts=True)
        _count(year)
    return Counter.objects.values_list("last", flat=True).get(year=year)


def _count(year: int) -> int:
    return Counter.objects.filter(year=year).update(last=F("last") + 1)
