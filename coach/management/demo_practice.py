"""The demo practice: made up, in Galway, the same each time but for its dates.

Its rows lie in coach/management/demo/*.csv; every name in them is invented. Dates are told
relative to the day it is built: weeks of a pregnancy, weeks since its end, days to an upload.
"""

from __future__ import annotations

import re
import uuid
from datetime import date, time, timedelta

from django.db import transaction

from clients.models import Client, Pregnancy
from coach import clock
from coach.management import (
    demo_designs,
    demo_enquiries,
    demo_forms,
    demo_health,
    demo_letters,
    demo_money,
)
from coach.management.demo_rows import rows
from coach.practice import audit
from coach.practice.models import Practice, User
from coach.practice.permissions import Role
from coach.scheduling.values import SERVABLE_STAGES, Stage
from content.actions.planning import propose
from content.models import DayOff, FitnessClass, Series, State, Upload, Wishes
from content.rules.months import Month

EMAIL = "coach@demo.example"
PASSWORD = "a walk along the prom"  # noqa: S105  # printed at every start of the demo
OTHERS = {
    Role.COVERING_COACH: ("cover@demo.example", "Sive Hargrove"),
    Role.ASSISTANT: ("assistant@demo.example", "Bea Lorcan"),
    Role.BOOKKEEPER: ("books@demo.example", "Perpetua Nash"),
}
_DAYS_OF_PREGNANCY = 280
_DAYS = (1, 5)  # Tuesday, Saturday
_PREGNANT = re.compile(r"pregnant (\d+)w(\d)d( twins)?")
_ENDED = re.compile(r"(birth|loss) (\d+)w(?:(\d)d)?(?: (vaginal|assisted|caesarean))?( twins)?")
_STAGES = {
    "all": SERVABLE_STAGES,
    "t1": (Stage.TRIMESTER_1,),
    "t2": (Stage.TRIMESTER_2,),
    "t3": (Stage.TRIMESTER_3,),
    "w6-12": (Stage.WEEKS_6_12,),
    "after": SERVABLE_STAGES[3:],
    "from6": SERVABLE_STAGES[4:],
    "from12": SERVABLE_STAGES[5:],
    "from26": SERVABLE_STAGES[6:],
    "from52": SERVABLE_STAGES[7:],
}


def build(today: date) -> None:
    """Fill an empty, migrated database. Raises IntegrityError where a practice is there already."""
    _fill(today)
    propose(by=audit.SYSTEM, month=Month.of(today).next, today=today)


@transaction.atomic
def _fill(today: date) -> None:
    practice = Practice.objects.create(
        pk=1,
        name="Strand Row Movement",
        country="IE",
        time_zone="Europe/Dublin",
        currency="EUR",
        address="4 Strand Row\nSalthill\nGalway",
        how_to_pay="By card from the link in our mail, or by bank transfer.\n"
        "Please write the number of the invoice with it.",
        tax_name="VAT",
        tax_basis_points=1350,
        offers="Live one-to-one sessions of 45 minutes by video, and recorded classes: breath and "
        "pelvic floor, strength with body weight and a band, mobility. No running or jumping "
        "unless named.",
        is_demo=True,
    )
    _people()
    _clients(today)
    _classes(today)
    _wishes(today)
    demo_designs.fill()
    demo_letters.fill(today)
    demo_health.fill(today)
    demo_enquiries.fill(today)
    demo_forms.fill(today)
    demo_money.fill(today)
    audit.record(by=audit.SYSTEM, verb="made the demo", subject=practice)


def _people() -> None:
    User.objects.create_user(EMAIL, PASSWORD, name="Nuala Keane-Moor", role=Role.OWNER)
    for role, (email, name) in OTHERS.items():
        User.objects.create_user(email, PASSWORD, name=name, role=role)


def _clients(today: date) -> None:
    for row in rows("clients.csv"):
        slug = "".join(letter for letter in row["name"].lower() if letter.isascii())
        client = Client.objects.create(
            uid=stable_uid(row["name"]),
            name=row["name"],
            email=f"{re.sub('[^a-z]+', '.', slug)}@demo.example",
            time_zone=row["time_zone"],
            standing=row["standing"],
            quiet=row["quiet"] == "yes",
            note=row["note"],
            created_at=clock.now(),
        )
        for text in reversed(row["pregnancies"].split("; ")):
            _pregnancy(client, text, today)


def _pregnancy(client: Client, text: str, today: date) -> None:
    if found := _PREGNANT.fullmatch(text):
        days = int(found[1]) * 7 + int(found[2])
        due = today + timedelta(days=_DAYS_OF_PREGNANCY - days)
        expected = 2 if found[3] else 1
        Pregnancy.objects.create(client=client, due=due, dated_by="scan", expected=expected)
    elif found := _ENDED.fullmatch(text):
        ended = today - timedelta(days=int(found[2]) * 7 + int(found[3] or 0))
        born = found[1] == "birth"
        Pregnancy.objects.create(
            client=client,
            due=ended + timedelta(days=4 if born else 200),
            dated_by="scan",
            expected=2 if found[5] else 1,
            ended=ended,
            ending=found[1],
            birth_mode=found[4] or "",
        )


def _classes(today: date) -> None:
    series: dict[str, Series] = {}
    for row in rows("classes.csv"):
        if row["series"] and row["series"] not in series:
            series[row["series"]] = Series.objects.create(title=row["series"])
        item = FitnessClass.objects.create(
            uid=stable_uid(row["title"]),
            title=row["title"],
            focus=row["focus"],
            minutes=int(row["minutes"]),
            effort=int(row["effort"]),
            stages=_stages(row["stages"]),
            state=row["state"],
            minutes_of_work=int(float(row["hours"] or 0) * 60),
            series=series.get(row["series"]),
            part=int(row["part"]) if row["part"] else None,
        )
        if row["when"]:
            day = today + timedelta(days=int(row["when"]))
            if row["state"] in {State.FILMED, State.OUTLINED}:  # on one of her publish days
                day = next(one for n in range(7) if (one := day + timedelta(n)).weekday() in _DAYS)
            Upload.objects.create(uid=stable_uid(f"upload {row['title']}"), item=item, day=day)


def _stages(words: str) -> list[str]:
    wanted = {stage for word in words.split() for stage in _STAGES[word]}
    return [str(stage) for stage in SERVABLE_STAGES if stage in wanted]


def _wishes(today: date) -> None:
    Wishes.objects.create(
        pk=1, weekdays=list(_DAYS), publish_at=time(7, 30), minutes_a_week=8 * 60, lead_days=2,
        film_weekdays=[2], films_a_day=3, mix={"core": 20, "pelvic floor": 20},
    )  # fmt: skip
    # Late enough in the month that none of the uploads above can stand on it.
    DayOff.objects.create(day=Month.of(today).next.first.replace(day=20), why="family")


def stable_uid(text: str) -> uuid.UUID:
    """The same for the same row, so that a rebuilt demo keeps its places in a calendar."""
    return uuid.uuid5(uuid.NAMESPACE_OID, f"demo practice: {text}")
