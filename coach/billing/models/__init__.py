"""What is sold, what is billed, what is paid. Money is whole minor units beside its currency."""

from coach.billing.models.invoices import Counter, Invoice, InvoiceLine, Kind
from coach.billing.models.packages import Package, PackageKind, Sale, SessionUse
from coach.billing.models.payments import Method, Payment

__all__ = [
    "Counter",
    "Invoice",
    "InvoiceLine",
    "Kind",
    "Method",
    "Package",
    "PackageKind",
    "Payment",
    "Sale",
    "SessionUse",
]
