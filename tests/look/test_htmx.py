"""A page or a part of it, messages beside the part, and what is kept nowhere."""

from __future__ import annotations

from collections.abc import Callable
from types import SimpleNamespace
from typing import Any

import pytest
from django.contrib import messages
from django.contrib.auth.models import AnonymousUser
from django.contrib.messages.storage.fallback import FallbackStorage
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.template import engines
from django.template.loaders.locmem import Loader
from django.test import RequestFactory
from django_htmx.middleware import HtmxMiddleware

from coach.htmx import render_partial
from coach.middleware import HtmxAnswers, NoStore

PAGE = (
    "{% load partials %}<h1>Roster</h1>{% partialdef roster inline %}<ul>{{ who }}</ul>"
    "{% endpartialdef %}{% partialdef secret %}secret{% endpartialdef %}"
)
SIGN_IN = "/account/login/"


@pytest.fixture(autouse=True)
def _templates(monkeypatch: pytest.MonkeyPatch) -> None:
    """One invented page, found before those of the project."""
    engine = engines["django"].engine  # type: ignore[attr-defined]  # Django's own backend
    invented = Loader(engine, {"invented.html": PAGE})
    outer = engine.template_loaders[0]
    cached = outer.loaders[0]
    monkeypatch.setattr(cached, "loaders", [invented, *cached.loaders])
    cached.reset()


def ask(path: str = "/clients/", **headers: str) -> HttpRequest:
    sent = {f"HTTP_{name.upper()}": value for name, value in headers.items()}
    request = RequestFactory().get(path, **sent)  # type: ignore[arg-type]  # headers
    request.session = {}  # type: ignore[assignment]  # stands for a session
    request._messages = FallbackStorage(request)  # type: ignore[attr-defined]  # as the middleware
    request.user = AnonymousUser()
    HtmxMiddleware(lambda r: HttpResponse())(request)
    return request


def shown(request: HttpRequest) -> str:
    answer = render_partial(
        request, "invented.html", {"who": "Orla"}, partials={"roster": "roster"}
    )
    return answer.content.decode()


WHOLE = "<h1>Roster</h1><ul>Orla</ul>"


def test_a_plain_request_gets_the_whole_page() -> None:
    assert shown(ask()) == WHOLE


def test_the_element_that_htmx_replaces_names_the_part() -> None:
    assert shown(ask(hx_request="true", hx_target="roster")) == "<ul>Orla</ul>"


@pytest.mark.parametrize("target", ["secret", "", "invented.html#secret"])
def test_a_target_that_the_server_does_not_know_gets_the_whole_page(target: str) -> None:
    assert shown(ask(hx_request="true", hx_target=target)) == WHOLE


def test_a_target_without_htmx_gets_the_whole_page() -> None:
    assert shown(ask(hx_target="roster")) == WHOLE


def test_going_back_in_the_history_gets_the_whole_page() -> None:
    back = ask(hx_request="true", hx_target="roster", hx_history_restore_request="true")
    assert shown(back) == WHOLE


def test_the_answer_varies_on_what_it_was_picked_by() -> None:
    answer = render_partial(ask(), "invented.html", partials={"roster": "roster"}, status=422)
    assert (answer["Vary"], answer.status_code) == ("HX-Request, HX-Target", 422)


def through(
    middleware: type[HtmxAnswers | NoStore],
    request: HttpRequest,
    view: Callable[[HttpRequest], HttpResponse],
) -> Any:
    return middleware(view)(request)


def saying(response: HttpResponse) -> Callable[[HttpRequest], HttpResponse]:
    def view(request: HttpRequest) -> HttpResponse:
        messages.success(request, "Kept.")
        return response

    return view


def test_messages_come_beside_the_part() -> None:
    answer = through(HtmxAnswers, ask(hx_request="true"), saying(HttpResponse("<ul></ul>")))
    text = answer.content.decode()
    assert text.startswith('<ul></ul><div class="messages" id="messages"')
    assert 'hx-swap-oob="innerHTML"' in text
    assert "Kept." in text


@pytest.mark.parametrize(
    "response",
    [
        HttpResponse("{}", content_type="application/json"),
        HttpResponse(headers={"HX-Redirect": "/clients/"}),
        HttpResponse(status=204),
        HttpResponseRedirect("/clients/"),
    ],
)
def test_messages_wait_for_a_page_where_there_is_none_to_print_them(
    response: HttpResponse,
) -> None:
    request = ask(hx_request="true")
    before = response.content
    answer = through(HtmxAnswers, request, saying(response))
    assert answer.content == before
    assert [str(message) for message in messages.get_messages(request)] == ["Kept."]


def test_a_page_without_htmx_keeps_its_content() -> None:
    answer = through(HtmxAnswers, ask(), saying(HttpResponse("page")))
    assert answer.content == b"page"
    assert answer["Vary"] == "HX-Request, HX-Target"


def test_messages_that_the_page_has_printed_are_not_printed_twice() -> None:
    def view(request: HttpRequest) -> HttpResponse:
        messages.success(request, "Kept.")
        return HttpResponse([str(message) for message in messages.get_messages(request)])

    assert through(HtmxAnswers, ask(hx_request="true"), view).content == b"Kept."


def test_signing_in_again_takes_the_whole_window_back_to_the_page_she_saw() -> None:
    request = ask(
        "/uploads/2027-01/move/",
        hx_request="true",
        hx_current_url="http://testserver/uploads/2027-01/?view=mine",
    )
    expired = HttpResponseRedirect(SIGN_IN + "?next=/uploads/2027-01/move/")
    answer = through(HtmxAnswers, request, lambda r: expired)
    assert answer.status_code == 204
    assert answer["HX-Redirect"] == SIGN_IN + "?next=/uploads/2027-01/%3Fview%3Dmine"


def test_a_page_elsewhere_is_never_where_signing_in_leads() -> None:
    request = ask(hx_request="true", hx_current_url="https://elsewhere.example/steal/")
    answer = through(HtmxAnswers, request, lambda r: HttpResponseRedirect(SIGN_IN))
    assert answer["HX-Redirect"] == SIGN_IN + "?next=/"


@pytest.mark.parametrize("to", ["/clients/", "https://elsewhere.example/account/logins/"])
def test_other_redirects_stay_as_they_are(to: str) -> None:
    answer = through(HtmxAnswers, ask(hx_request="true"), lambda r: HttpResponseRedirect(to))
    assert (answer.status_code, answer["Location"]) == (302, to)


def test_without_htmx_the_sign_in_page_is_a_plain_redirect() -> None:
    answer = through(HtmxAnswers, ask(), lambda r: HttpResponseRedirect(SIGN_IN))
    assert (answer.status_code, answer["Location"]) == (302, SIGN_IN)


def signed_in() -> HttpRequest:
    request = ask()
    request.user = SimpleNamespace(is_authenticated=True)  # type: ignore[assignment]  # a person
    return request


def test_what_somebody_signed_in_sees_is_kept_nowhere() -> None:
    answer = through(NoStore, signed_in(), lambda r: HttpResponse())
    assert answer["Cache-Control"] == "no-store"


def test_a_view_may_say_otherwise() -> None:
    said = HttpResponse(headers={"Cache-Control": "private, max-age=60"})
    assert through(NoStore, signed_in(), lambda r: said)["Cache-Control"] == "private, max-age=60"


def test_a_stranger_gets_no_word_about_keeping() -> None:
    assert not through(NoStore, ask(), lambda r: HttpResponse()).has_header("Cache-Control")
