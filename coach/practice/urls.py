"""Addresses of the Practice section."""

from __future__ import annotations

from django.urls import path

from coach.practice.views import people, practice

app_name = "practice"
urlpatterns = [
    path("", practice.index, name="index"),
    path("details/", practice.details, name="details"),
    path("trail/", practice.trail, name="trail"),
    path("roles/", practice.roles, name="roles"),
    path("take-away/", practice.take_away, name="take_away"),
    path("people/", people.people, name="people"),
    path("people/add/", people.add, name="add_person"),
    path("people/<int:pk>/", people.person, name="person"),
    path("people/<int:pk>/link/", people.new_link, name="person_link"),
]
