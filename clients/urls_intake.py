"""Addresses of the form by link: `urlpatterns` for its client, who has no account and nothing but
the token, and `for_the_coach`, which the Clients section takes in.
"""

from __future__ import annotations

from django.urls import path

from clients.views import intake, intake_review
from clients.views import intake_public as views

app_name = "form"
urlpatterns = [
    path("<str:token>/", views.begin, name="begin"),
    path("<str:token>/send/", views.send, name="send"),
    path("<str:token>/<slug:step>/", views.step, name="step"),
    path("<str:token>/<slug:step>/keep/", views.keep, name="keep"),
]
for_the_coach = [
    path("", intake.intakes, name="intakes"),
    path("make/", intake.make, name="intake_make"),
    path("<int:form>/", intake.link, name="intake_link"),
    path("<int:form>/mail/", intake.mail, name="intake_mail"),
    path("<int:form>/withdraw/", intake.withdraw, name="intake_withdraw"),
    path("<int:form>/guardian/", intake.decide, name="intake_decide"),
    path("<int:form>/review/", intake_review.review, name="intake_review"),
    path("<int:form>/whose/", intake_review.belongs_to, name="intake_belongs_to"),
    path("<int:form>/aside/", intake_review.put_aside, name="intake_put_aside"),
    path("<int:form>/letter/", intake_review.document, name="intake_document"),
]
