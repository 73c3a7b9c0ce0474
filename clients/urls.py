"""Addresses of the Clients section; neutral words, since a quiet client's page holds them."""

from __future__ import annotations

from django.urls import path

from clients.views import client, edit, pregnancies, roster

app_name = "clients"
urlpatterns = [
    path("", roster.roster, name="roster"),
    path("add/", edit.add, name="add"),
    path("<int:pk>/", client.client, name="client"),
    path("<int:pk>/edit/", edit.edit, name="edit"),
    path("<int:pk>/standing/", client.set_standing, name="set_standing"),
    path("<int:pk>/quiet/", client.set_quiet, name="set_quiet"),
    path("<int:pk>/dates/add/", pregnancies.add_pregnancy, name="add_pregnancy"),
    path("<int:pk>/dates/<int:which>/", pregnancies.edit_pregnancy, name="edit_pregnancy"),
    path("<int:pk>/dates/<int:which>/end/", pregnancies.record_end, name="record_end"),
]
