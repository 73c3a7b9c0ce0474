"""Addresses of the feeds."""

from __future__ import annotations

from django.urls import path

from coach.feeds import views

app_name = "feeds"
urlpatterns = [
    path("", views.index, name="index"),
    path("make/", views.make, name="make"),
    path("switch-off/", views.switch_off, name="switch_off"),
    path("<str:token>.ics", views.calendar, name="calendar"),
]
