"""Papers made up for the tests, and what poppler's tools read back from the PDF."""

from __future__ import annotations

import re
import subprocess
import unicodedata
from datetime import date
from pathlib import Path
from typing import Any

from coach.billing.documents import invoice_pdf
from coach.billing.documents.values import InvoicePaper, PaperLine, PaperTax

# The items of a worked example whose sums pass the rules of EN 16931: 19 % and 7 %.
PASS = PaperLine("Ten-session pass", 1, 14900, 1900, 14900)
DROP_IN = PaperLine("Drop-in", 3, 1795, 1900, 5385)
HANDBOOK = PaperLine("Printed handbook", 2, 1245, 700, 2490)
EXAMPLE_TAXES = (PaperTax("VAT", 1900, 20285, 3854), PaperTax("VAT", 700, 2490, 174))


def paper(**changes: Any) -> InvoicePaper:
    """The worked example as an invoice of 267.03, of which 50.00 is paid."""
    values: dict[str, Any] = {
        "number": "2026-00012",
        "issued_on": date(2026, 11, 25),
        "pay_by": date(2026, 12, 9),
        "seller": ("Strong Tide Coaching", "14 Harbour Terrace", "Cobh", "Ireland"),
        "buyer": ("Aoife Ní Bhriain", "3 Orchard Lane", "Galway", "Ireland"),
        "lines": (PASS, DROP_IN, HANDBOOK),
        "taxes": EXAMPLE_TAXES,
        "net_minor": 22775,
        "tax_minor": 4028,
        "gross_minor": 26803,
        "paid_minor": 5000,
        "open_minor": 21803,
        "currency": "EUR",
        "seller_tax_number": "IE1234567T",
    }
    return InvoicePaper(**(values | changes))


def sessions(count: int, **changes: Any) -> InvoicePaper:
    """As many lines as asked, all at 20 %, each one cent dearer than the one before."""
    lines = tuple(
        PaperLine(f"Session {n} online", 1, 4500 + n, 2000, 4500 + n) for n in range(1, count + 1)
    )
    net = sum(line.net_minor for line in lines)
    sums = {"net_minor": net, "tax_minor": net // 5, "gross_minor": net + net // 5}
    rest = {"paid_minor": 0, "open_minor": net + net // 5}
    return paper(
        lines=lines, taxes=(PaperTax("VAT", 2000, net, net // 5),), **(sums | rest | changes)
    )


def read(tool: str, *options: str, pdf: bytes, folder: Path) -> str:
    """What a tool of poppler-utils prints about the PDF, or the text it finds in it."""
    file = folder / "paper.pdf"
    file.write_bytes(pdf)
    ends = ["-"] if tool == "pdftotext" else []
    done = subprocess.run(
        [tool, *options, str(file), *ends], capture_output=True, check=True, timeout=60
    )
    return done.stdout.decode()


def text_of(made: InvoicePaper, folder: Path) -> str:
    """The paper's text line by line, columns kept apart by spaces."""
    return read("pdftotext", "-layout", pdf=invoice_pdf(made), folder=folder)


def plain(text: str) -> str:
    """Joined letters as plain ones (NFKC), without direction marks and doubled spaces."""
    normal = unicodedata.normalize("NFKC", text)
    seen = "".join(char for char in normal if unicodedata.category(char) != "Cf")
    return re.sub(r"\s+", " ", seen)


def minor(figure: str) -> int:
    """A printed amount of a currency with cents, as cents: "€1,234.50" is 123450."""
    return int(re.sub(r"[^\d−]", "", figure).replace("−", "-"))
