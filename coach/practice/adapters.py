"""How allauth is bent to this practice: nobody signs up, and its secrets lie encrypted."""

from __future__ import annotations

from typing import Any

from allauth.account.adapter import DefaultAccountAdapter
from allauth.mfa.adapter import DefaultMFAAdapter
from django.http import HttpRequest

from coach.practice import audit
from coach.practice.encryption import seal, unseal
from coach.practice.models import User

_LABEL = "mfa.authenticator.data"


class AccountAdapter(DefaultAccountAdapter):  # type: ignore[misc]  # allauth has no types
    """Sign-up is closed; signing in and failing to are recorded."""

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        return False

    def populate_username(self, request: HttpRequest, user: User) -> None:
        """People have no username."""

    def post_login(self, request: HttpRequest, user: User, **kwargs: Any) -> Any:
        audit.record(by=audit.Actor(user, request.META.get("REMOTE_ADDR")), verb="signed in")
        return super().post_login(request, user, **kwargs)

    def authentication_failed(self, request: HttpRequest, **credentials: Any) -> None:
        audit.record(by=audit.actor_of(request), verb="failed to sign in")
        super().authentication_failed(request, **credentials)


class MFAAdapter(DefaultMFAAdapter):  # type: ignore[misc]  # allauth has no types
    """Secrets of the second factor would lie in clear otherwise."""

    def encrypt(self, text: str) -> str:
        return seal(_LABEL, text).hex()

    def decrypt(self, encrypted_text: str) -> str:
        return unseal(_LABEL, bytes.fromhex(encrypted_text))
