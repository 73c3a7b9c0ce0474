"""One page or one part of it: the server picks the part, the browser never names it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.cache import patch_vary_headers

VARIES_ON = ("HX-Request", "HX-Target")


def render_partial(
    request: HttpRequest,
    template: str,
    context: Mapping[str, Any] | None = None,
    *,
    partials: Mapping[str, str],
    status: int = 200,
) -> HttpResponse:
    """Render `template`, or of it the partial for the element that htmx is about to replace.

    `partials` maps the id of an element to the name of its `{% partialdef %}`:
    `{"roster": "roster"}`. A target that is not in it, a request without htmx and a history
    restore get the whole page. The answer varies on the headers that it was picked by.
    """
    name = _wanted(request, partials)
    shown = f"{template}#{name}" if name else template
    response = render(request, shown, dict(context or {}), status=status)
    patch_vary_headers(response, VARIES_ON)
    return response


def _wanted(request: HttpRequest, partials: Mapping[str, str]) -> str | None:
    htmx = request.htmx  # type: ignore[attr-defined]  # put there by django-htmx's middleware
    if not htmx or htmx.history_restore_request:
        return None
    return partials.get(htmx.target or "")
