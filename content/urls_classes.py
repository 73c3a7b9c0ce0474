"""Addresses of the Classes section."""

from __future__ import annotations

from django.urls import path

from content.views import (
    as_filmed,
    classes,
    design,
    exercises,
    film,
    filmed,
    suits,
    texts,
    versions,
)

app_name = "classes"
urlpatterns = [
    path("", classes.shelf, name="shelf"),
    path("history/", classes.history, name="history"),
    path("add/", classes.add, name="add"),
    path("<int:pk>/", classes.detail, name="detail"),
    path("<int:pk>/edit/", classes.edit, name="edit"),
    path("exercises/", exercises.exercises, name="exercises"),
    path("exercises/add/", exercises.add_exercise, name="add_exercise"),
    path("exercises/<slug:code>/", exercises.exercise, name="exercise"),
    path("exercises/<slug:code>/edit/", exercises.edit_exercise, name="edit_exercise"),
    path("exercises/<slug:code>/retire/", exercises.retire, name="retire_exercise"),
    path("description/", texts.description, name="description"),
    path("<int:pk>/text/", texts.text, name="text"),
    path("<int:pk>/chapters.vtt", texts.chapters_vtt, name="chapters_vtt"),
    path("suits/", suits.table, name="table"),
    path("for/<int:client>/", suits.for_client, name="for_client"),
    path("for/<int:client>/send/", suits.send, name="send"),
    path("for-stage/<slug:code>/", suits.for_stage, name="for_stage"),
    path("<int:pk>/suits/", suits.suits, name="suits"),
    path("<int:pk>/version/<slug:code>/", versions.version, name="version"),
    path("<int:pk>/version-for/<int:client>/", versions.version_for, name="version_for"),
    path("<int:pk>/design/", design.design, name="design"),
    path("<int:pk>/design/save/", design.save_design, name="save_design"),
    path("<int:pk>/design/undo/", design.undo_design, name="undo_design"),
    path("<int:pk>/as-filmed/", as_filmed.as_filmed_page, name="as_filmed"),
    path("<int:pk>/captions/", filmed.captions, name="captions"),
    path("<int:pk>/captions/keep/", filmed.keep_captions, name="keep_captions"),
    path("<int:pk>/captions/fix/", filmed.fix_time, name="fix_time"),
    path("<int:pk>/captions/again/", filmed.align_again, name="align_again"),
    path("<int:pk>/run-sheet.pdf", film.run_sheet, name="run_sheet"),
    path("<int:pk>/timer/", film.timer, name="timer"),
    path("<int:pk>/cues.wav", film.cues_wav, name="cues_wav"),
    path("<int:pk>/titles.vtt", film.titles_vtt, name="titles_vtt"),
    path("<int:pk>/titles.srt", film.titles_srt, name="titles_srt"),
    path("<int:pk>/step/", classes.step, name="step"),
    path("<int:pk>/place/", classes.place, name="place"),
    path("<int:pk>/publish/", classes.publish, name="publish"),
    path("<int:pk>/take-off/", classes.take_off, name="take_off"),
    path("<int:pk>/withdraw/", classes.withdraw, name="withdraw"),
    path("<int:pk>/correct/", classes.correct, name="correct"),
    path("<int:pk>/delete/", classes.delete, name="delete"),
]
