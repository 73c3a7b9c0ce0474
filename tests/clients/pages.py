"""What the tests of pages share: a page's words, and a letter."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

from clients import actions
from clients.models import Clearance, Client
from clients.rules.documents import read_document
from clients.rules.facts import ClearanceFact
from clients.rules.words import NEVER_IF_QUIET
from coach.practice.audit import SYSTEM

_PARTS = (
    b"<</Type/Catalog/Pages 2 0 R>>",
    b"<</Type/Pages/Kids[3 0 R]/Count 1>>",
    b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 420 595]/Resources<<>>>>",
)


def read(answer: Any) -> str:
    """The page's words, without its tags."""
    text = re.sub(r"<(script|style|svg).*?</\1>", " ", answer.content.decode(), flags=re.DOTALL)
    return " ".join(re.sub(r"<[^>]+>", " ", text).split())


def too_much(answer: Any) -> list[str]:
    """What of NEVER_IF_QUIET a page's source holds, without the tokens against forgery."""
    text = answer.content.decode()
    text = re.sub(r'(csrfmiddlewaretoken" value=|X-CSRFToken": )"[^"]*"', "", text).casefold()
    return [word for word in NEVER_IF_QUIET if word in text]


def _pdf() -> bytes:
    """An empty page, with its parts where its index says (ISO 32000-2, 7.5.4)."""
    made, places = b"%PDF-1.4\n", []
    for number, part in enumerate(_PARTS, 1):
        places.append(len(made))
        made += b"%d 0 obj%bendobj\n" % (number, part)
    index = b"xref\n0 4\n0000000000 65535 f \n"
    index += b"".join(b"%010d 00000 n \n" % place for place in places)
    tail = b"trailer<</Root 1 0 R/Size 4>>\nstartxref\n%d\n%%%%EOF\n" % len(made)
    return made + index + tail


PDF = _pdf()


def clearance_with_letter(of: Client, name: str = "letter.pdf") -> Clearance:
    """A midwife's go-ahead of two days ago, with a small PDF."""
    facts = ClearanceFact(
        said_on=date(2026, 12, 1), clinician="Imelda Roe", clinician_kind="midwife"
    )
    document = read_document(name, PDF)
    return actions.record_clearance(by=SYSTEM, client=of, facts=facts, document=document)
