"""Addresses of the Classes section."""

from __future__ import annotations

from django.urls import path

from content.views import classes

app_name = "classes"
urlpatterns = [
    path("", classes.shelf, name="shelf"),
    path("history/", classes.history, name="history"),
    path("add/", classes.add, name="add"),
    path("<int:pk>/", classes.detail, name="detail"),
    path("<int:pk>/edit/", classes.edit, name="edit"),
    path("<int:pk>/step/", classes.step, name="step"),
    path("<int:pk>/place/", classes.place, name="place"),
    path("<int:pk>/publish/", classes.publish, name="publish"),
    path("<int:pk>/take-off/", classes.take_off, name="take_off"),
    path("<int:pk>/withdraw/", classes.withdraw, name="withdraw"),
    path("<int:pk>/delete/", classes.delete, name="delete"),
]
