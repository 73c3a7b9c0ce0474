"""What every answer gets: htmx's needs, and no copy of a signed-in page kept anywhere."""

from __future__ import annotations

from collections.abc import Callable
from urllib.parse import urlsplit

from django.contrib.messages import get_messages
from django.http import HttpRequest, HttpResponse, HttpResponseBase, QueryDict
from django.shortcuts import resolve_url
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils.cache import patch_vary_headers

from coach.htmx import VARIES_ON

GetResponse = Callable[[HttpRequest], HttpResponseBase]
# Pages that a request may be sent to instead of the part it asked for: they need the whole window.
SIGN_IN_PAGES = ("account_login", "account_reauthenticate", "mfa_reauthenticate")
_OUR_HEADERS = ("HX-Redirect", "HX-Refresh", "HX-Location")


class HtmxAnswers:
    """Messages beside the part that was asked for, and the sign-in page in the whole window."""

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        response = self.get_response(request)
        patch_vary_headers(response, VARIES_ON)
        if not request.htmx:  # type: ignore[attr-defined]  # from django-htmx's middleware
            return response
        if _leads_to_sign_in(response):
            return _whole_window_to_sign_in(request, response)
        if isinstance(response, HttpResponse) and _takes_messages(request, response):
            _append_messages(request, response)
        return response


class NoStore:
    """`Cache-Control: no-store` for somebody signed in, unless the view said something else."""

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        response = self.get_response(request)
        if not response.has_header("Cache-Control") and request.user.is_authenticated:
            response["Cache-Control"] = "no-store"
        return response


def _leads_to_sign_in(response: HttpResponseBase) -> bool:
    if response.status_code not in {301, 302, 303, 307, 308}:
        return False
    return urlsplit(response["Location"]).path in {reverse(name) for name in SIGN_IN_PAGES}


def _whole_window_to_sign_in(request: HttpRequest, response: HttpResponseBase) -> HttpResponse:
    """Back to the page she sees, not to the part of it that she asked for."""
    here = request.htmx.current_url_abs_path  # type: ignore[attr-defined]  # as above
    query = QueryDict(mutable=True)
    query["next"] = here or resolve_url("home")
    page = urlsplit(response["Location"]).path
    answer = HttpResponse(status=204)
    answer["HX-Redirect"] = f"{page}?{query.urlencode(safe='/')}"
    for cookie in response.cookies.values():
        answer.cookies[cookie.key] = cookie
    patch_vary_headers(answer, VARIES_ON)
    return answer


def _takes_messages(request: HttpRequest, response: HttpResponse) -> bool:
    """A part of a page in HTML; a whole page has printed them already, a redirect keeps them."""
    return (
        response.status_code in {200, 201, 422}
        and response.get("Content-Type", "").startswith("text/html")
        and not any(response.has_header(name) for name in _OUR_HEADERS)
        and not getattr(get_messages(request), "used", False)
    )


def _append_messages(request: HttpRequest, response: HttpResponse) -> None:
    said = list(get_messages(request))
    if said:
        response.write(render_to_string("_shared/messages.html", {"messages": said, "oob": True}))
