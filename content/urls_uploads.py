"""Addresses of the Uploads section."""

from __future__ import annotations

from datetime import date

from django.urls import path, register_converter

from content.rules.months import Month
from content.views import away, making, month, pace, plans


class MonthInAddress:
    """ "2027-01" in an address."""

    regex = r"\d{4}-\d{2}"

    def to_python(self, value: str) -> Month:
        return Month.parse(value)

    def to_url(self, value: Month) -> str:
        return str(value)


class DayInAddress:
    """ "2027-01-12" in an address."""

    regex = r"\d{4}-\d{2}-\d{2}"

    def to_python(self, value: str) -> date:
        return date.fromisoformat(value)

    def to_url(self, value: date) -> str:
        return value.isoformat()


register_converter(MonthInAddress, "month")
register_converter(DayInAddress, "day")

app_name = "uploads"
urlpatterns = [
    path("", month.now, name="now"),
    path("wishes/", month.wishes, name="wishes"),
    path("pace/", pace.pace, name="pace"),
    path("away/", away.away, name="away"),
    path("away/<int:pk>/back/", away.back, name="away_back"),
    path("making/", making.making, name="making"),
    path("making/<int:pk>/check/", making.check, name="check"),
    path("checklist/", making.checklist, name="checklist"),
    path("checklist/keep/", making.keep_check_item, name="keep_check_item"),
    path("checklist/<slug:code>/retire/", making.retire_check_item, name="retire_check_item"),
    path("<month:month>/", month.month, name="month"),
    path("<month:month>/propose/", month.propose, name="propose"),
    path("<month:month>/pin/", month.pin, name="pin"),
    path("<month:month>/unpin/<day:day>/", month.unpin, name="unpin"),
    path("<month:month>/accept/", month.accept, name="accept"),
    path("<month:month>/drop/", month.drop, name="drop"),
    path("<month:month>/put/<day:day>/", month.put_on, name="put_on"),
    path("<month:month>/leave-out/<day:day>/", month.leave_out, name="leave_out"),
    path("<month:month>/move/<int:pk>/", month.move, name="move"),
    path("<month:month>/place/", month.place, name="place"),
    path("<month:month>/days-off/", month.add_day_off, name="add_day_off"),
    path("<month:month>/days-off/<int:pk>/remove/", month.remove_day_off, name="remove_day_off"),
    path("<month:month>/plans/", plans.earlier, name="earlier"),
    path("<month:month>/plans/<int:number>/", plans.earlier_plan, name="earlier_plan"),
    path("<month:month>/plans/<int:number>/restore/", plans.restore_plan, name="restore_plan"),
    path(
        "<month:month>/plans/<int:number>/take-back/",
        plans.take_back_plan,
        name="take_back_plan",
    ),
]
