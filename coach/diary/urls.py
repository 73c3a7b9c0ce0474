"""Addresses of the diary; neutral words, since a quiet client's page holds them."""

from __future__ import annotations

from django.urls import path

from coach.diary import views

app_name = "diary"
urlpatterns = [
    path("", views.index, name="index"),
    path("clients/<int:pk>/", views.of_client, name="of_client"),
    path("clients/<int:pk>/snooze/", views.snooze, name="snooze"),
    path("clients/<int:pk>/rhythm/", views.rhythm, name="rhythm"),
    path("clients/<int:pk>/resume/", views.resume, name="resume"),
]
