"""Addresses of the diary."""

from __future__ import annotations

from django.urls import path

from coach.diary import views

app_name = "diary"
urlpatterns = [
    path("", views.index, name="index"),
    path("clients/<int:pk>/", views.of_client, name="of_client"),
]
