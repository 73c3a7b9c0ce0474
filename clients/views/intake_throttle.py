"""How often a form may be asked for: by network address and by link, in the shared cache."""

from __future__ import annotations

import hashlib

from allauth.account.adapter import get_adapter
from django.core.cache import cache
from django.http import HttpRequest

from coach import clock

WINDOW_SECONDS = 600
# A form filled in without haste sends about 150 requests; a household may share an address.
MOST_BY_ADDRESS = 900
MOST_BY_LINK = 400
MOST_FILES_BY_LINK = 10


def too_many(request: HttpRequest, token: str) -> bool:
    """Whether this request is one too many; it is counted."""
    address = get_adapter().get_client_ip(request)
    counts = [
        _more_than(MOST_BY_ADDRESS, "address", str(address)),
        _more_than(MOST_BY_LINK, "link", token),
        bool(request.FILES) and _more_than(MOST_FILES_BY_LINK, "file", token),
    ]
    return any(counts)


def _more_than(most: int, kind: str, who: str) -> bool:
    """Counts in a window of time; the key tells nothing of who it is about."""
    window = int(clock.now().timestamp()) // WINDOW_SECONDS
    digest = hashlib.sha256(who.encode()).hexdigest()
    key = f"form:{kind}:{digest}:{window}"
    seen: int = cache.get(key, 0)
    if seen <= most:
        cache.set(key, seen + 1, WINDOW_SECONDS)
    return seen >= most
