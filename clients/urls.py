"""Addresses of the Clients section; neutral words, since a quiet client's page holds them."""

from __future__ import annotations

from django.urls import path

from clients.views import assessments, clearance, client, edit, pregnancies, register, roster, signs

app_name = "clients"
urlpatterns = [
    path("", roster.roster, name="roster"),
    path("add/", edit.add, name="add"),
    path("clearance/", register.register, name="clearance"),
    path("<int:pk>/", client.client, name="client"),
    path("<int:pk>/edit/", edit.edit, name="edit"),
    path("<int:pk>/standing/", client.set_standing, name="set_standing"),
    path("<int:pk>/quiet/", client.set_quiet, name="set_quiet"),
    path("<int:pk>/dates/add/", pregnancies.add_pregnancy, name="add_pregnancy"),
    path("<int:pk>/dates/<int:which>/", pregnancies.edit_pregnancy, name="edit_pregnancy"),
    path("<int:pk>/dates/<int:which>/end/", pregnancies.record_end, name="record_end"),
    path("<int:pk>/clearance/add/", clearance.add_clearance, name="add_clearance"),
    path(
        "<int:pk>/clearance/<int:which>/withdraw/",
        clearance.withdraw_clearance,
        name="withdraw_clearance",
    ),
    path("<int:pk>/letters/<int:which>/", clearance.letter, name="letter"),
    path("<int:pk>/signs/add/", signs.warning_sign, name="warning_sign"),
    path("<int:pk>/signs/<int:which>/", signs.sign, name="sign"),
    path("<int:pk>/assess/", assessments.assess, name="assess"),
]
