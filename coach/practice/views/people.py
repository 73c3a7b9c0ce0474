"""The people who sign in: the owner adds them, gives them a role, takes access away."""

from __future__ import annotations

from allauth.account.forms import default_token_generator
from allauth.account.utils import user_pk_to_url_str
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from coach.practice import actions, queries
from coach.practice.audit import actor_of
from coach.practice.forms import ChangePersonForm, PersonForm
from coach.practice.http import Request
from coach.practice.models import User
from coach.practice.permissions import Access, Fact, requires


@require_safe
@requires(Fact.PRACTICE)
def people(request: Request) -> HttpResponse:
    """Everybody, with the form to add somebody."""
    context = {"people": queries.people(), "form": PersonForm()}
    return render(request, "practice/people.html", context)


@require_POST
@requires(Fact.PRACTICE, Access.CHANGE)
def add(request: Request) -> HttpResponse:
    """Add somebody and show the link with which she chooses her password."""
    form = PersonForm(request.POST)
    if not form.is_valid():
        context = {"people": queries.people(), "form": form}
        return render(request, "practice/people.html", context, status=422)
    person = actions.add_person(by=actor_of(request), **form.cleaned_data)
    return render(
        request, "practice/person_link.html", {"person": person, "link": _link(request, person)}
    )


@require_http_methods(["GET", "HEAD", "POST"])
@requires(Fact.PRACTICE, Access.CHANGE)
def person(request: Request, pk: int) -> HttpResponse:
    """Change one person."""
    found = get_object_or_404(User, pk=pk)
    form = ChangePersonForm(request.POST or None, instance=User.objects.get(pk=pk))
    if request.method == "POST" and form.is_valid():
        try:
            actions.change_person(by=actor_of(request), person=found, **form.cleaned_data)
        except actions.LastOwner:
            form.add_error("role", "She is the only owner: make somebody else one first.")
        else:
            messages.success(request, f"{found.name} is changed.")
            return redirect("practice:people")
    return render(request, "practice/person.html", {"person": found, "form": form})


@require_POST
@requires(Fact.PRACTICE, Access.CHANGE)
def new_link(request: Request, pk: int) -> HttpResponse:
    """A fresh link to choose a password with, shown once."""
    found = get_object_or_404(User, pk=pk, is_active=True)
    actions.record_link(by=actor_of(request), person=found)
    return render(
        request, "practice/person_link.html", {"person": found, "link": _link(request, found)}
    )


def _link(request: HttpRequest, person: User) -> str:
    """Signed, for three days (PASSWORD_RESET_TIMEOUT), dead once the password is chosen."""
    key = f"{user_pk_to_url_str(person)}-{default_token_generator.make_token(person)}"
    uidb36, _, rest = key.partition("-")
    path = reverse("account_reset_password_from_key", kwargs={"uidb36": uidb36, "key": rest})
    return request.build_absolute_uri(path)
