"""The first page."""

from __future__ import annotations

from django.urls import path

from coach.today.views import home

urlpatterns = [path("", home, name="home")]
