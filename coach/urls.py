"""Every address of the site."""

from __future__ import annotations

from django.urls import include, path

from coach.practice.views.begin import begin
from coach.practice.views.practice import style

urlpatterns = [
    path("begin/", begin, name="begin"),
    path("accounts/", include("coach.billing.urls")),
    path("account/", include("allauth.urls")),
    path("classes/", include("content.urls_classes")),
    path("clients/", include("clients.urls")),
    path("diary/", include("coach.diary.urls")),
    path("feeds/", include("coach.feeds.urls")),
    path("form/", include("clients.urls_intake")),
    path("practice/", include("coach.practice.urls")),
    path("style/", style, name="style"),
    path("uploads/", include("content.urls_uploads")),
    path("", include("coach.today.urls")),
]
