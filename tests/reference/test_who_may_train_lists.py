"""What is asked before she trains, against the published lists: each item, and what a yes does.

Each check names its source; "from memory" means that the value was not read in the source itself.

Sources:
- ACOG Committee Opinion 804, Physical activity and exercise in pregnancy and after (2020)
- ACOG 2002, the older list of signs to stop at
- older ACOG/ACSM lists of contraindications: BMC Pregnancy and Childbirth 2015,
  doi 10.1186/s12884-015-0556-6, Table 1
- Mottola et al. 2018, the 2019 Canadian guideline, doi 10.1136/bjsports-2018-100056, Table 2
- Davenport et al. 2025, Delphi on screening after a birth, doi 10.1136/bjsports-2024-109104
- CDC, Hear Her campaign: urgent maternal warning signs; AWHONN POST-BIRTH
"""

from __future__ import annotations

import re
from datetime import date, timedelta

import pytest

from clients.rules.screening import Effect, Question, effect_on, judged, questions, questions_for
from clients.rules.warning_signs import signs_for, warning_signs
from coach.scheduling.dates import Ending, GestationalAge, PregnancyDates, stage_on

BIRTH = date(2025, 3, 10)
"""The reference birth of the file of dates."""

# Every item of the published lists, in a few words of our own, and the codes that ask for it.
OLDER_ABSOLUTE = {
    "placenta praevia after 26 weeks": {"praevia"},
    "ruptured membranes": {"membranes"},
    "pregnancy hypertension, pre-eclampsia": {"pressure", "preeclampsia"},
    "insufficient cervix, cerclage": {"cervix"},
    "persistent bleeding": {"blood-lasting"},
    "several babies at risk of an early birth": {"early-risk"},
    "preterm labour": {"membranes"},
    "significant heart disease": {"heart"},
    "restrictive lung disease": {"lung"},
}
OLDER_RELATIVE = {
    "severe anaemia": {"anaemia"},
    "arrhythmia not looked into": {"rhythm"},
    "chronic bronchitis": {"bronchitis"},
    "type 1 diabetes": {"diabetes"},
    "hypertension": {"hypertension"},
    "seizures": {"seizures"},
    "thyroid disease": {"thyroid"},
    "extreme obesity": {"weight-high"},
    "body mass index under 12": {"weight-low"},
    "very sedentary": {"sedentary"},
    "growth restriction": {"growth"},
    "orthopaedic limits": {"joints"},
    "heavy smoking": {"smoking"},
}
CANADA_ABSOLUTE = {
    "ruptured membranes, preterm labour": {"membranes"},
    "unexplained persistent bleeding": {"blood-lasting"},
    "placenta praevia after 28 weeks": {"praevia"},
    "pre-eclampsia": {"preeclampsia"},
    "insufficient cervix": {"cervix"},
    "growth restriction": {"growth"},
    "triplets or more": {"triplets"},
    "uncontrolled diabetes, hypertension or thyroid disease": {
        "diabetes", "hypertension", "thyroid",
    },
    "other serious heart, lung or systemic disease": {"heart", "lung", "systemic"},
}  # fmt: skip
CANADA_RELATIVE = {
    "recurrent loss": {"losses"},
    "earlier spontaneous preterm birth": {"early-before"},
    "gestational hypertension": {"pressure"},
    "symptomatic anaemia": {"anaemia"},
    "malnutrition": {"nourished"},
    "eating disorder": {"eating"},
    "twins after week 28": {"twins"},
    "mild or moderate heart or lung disease": {"heart-lung-mild"},
    "other significant condition": {"medical"},
}
LISTS = [
    # identity         items            how many  what a yes does by it
    ("acog-absolute", OLDER_ABSOLUTE, 9, Effect.STOP),
    ("acog-relative", OLDER_RELATIVE, 13, Effect.HOLD),
    ("canada-absolute", CANADA_ABSOLUTE, 9, Effect.STOP),
    ("canada-relative", CANADA_RELATIVE, 9, Effect.HOLD),
]
# The 13 of 24 items of the 2025 consensus that could be read; the others are not known.
AFTER_13 = {
    "loss of consciousness": r"consciousness",
    "neurological symptoms": r"nerves",
    "kidney disease": r"kidney",
    "calf pain": r"calf",
    "severe abdominal pain": r"belly",
    "bleeding outside menses": r"^(?!.*(heavy|pad|clot)).*\b(bleed|bled)",
    "cardiomyopathy": r"heart muscle",
    "caesarean, symptoms worse on exertion": r"caesarean.*exert",
    "unstable hypertension": r"high blood pressure",
    "eating disorder": r"eating disorder",
    "malnutrition": r"nourished",
    "anaemia": r"anaemia",
    "excessive fatigue": r"tired",
}
CDC_15 = {
    "severe or worsening headache": {"headache"},
    "dizziness or fainting": {"dizzy"},
    "thoughts of harming self or baby": {"harm"},
    "changed vision": {"vision"},
    "fever of 38.0 °C or more": {"fever"},
    "extreme swelling of hands or face": {"swelling"},
    "trouble breathing": {"breath"},
    "chest pain or fast heartbeat": {"chest"},
    "severe nausea and vomiting": {"sick"},
    "severe lasting belly pain": {"belly"},
    "movements stopping or slowing": {"movement"},
    "bleeding or fluid in pregnancy": {"blood", "fluid"},
    "heavy bleeding or bad-smelling fluid after": {"heavy-blood", "smell"},
    "swelling, redness or pain of a leg or arm": {"leg"},
    "overwhelming tiredness": {"tired"},
}
ACOG_10 = {
    "bleeding": {"blood"},
    "abdominal pain": {"belly"},
    "regular painful contractions": {"contractions"},
    "fluid leak": {"fluid"},
    "breathlessness before exertion": {"breath"},
    "dizziness": {"dizzy"},
    "headache": {"headache"},
    "chest pain": {"chest"},
    "weakness affecting balance": {"weak"},
    "calf pain or swelling": {"leg"},
}
AWHONN_4 = {"chest", "breath", "seizure", "harm"}
AWHONN_5 = {
    "a pad an hour, clots of egg size": {"heavy-blood"},
    "incision not healing": {"wound"},
    "red, swollen, warm or painful leg": {"leg"},
    "38.0 °C (100.4 °F) or more": {"fever"},
    "headache that stays, or with changed vision": {"headache", "vision"},
}
OVERLAP = {"dizzy", "breath", "chest", "headache", "leg", "blood", "fluid"}


def age(text: str) -> GestationalAge:
    weeks, rest = text.rstrip("d").split("w")
    return GestationalAge(int(weeks) * 7 + int(rest))


def codes(phase: str) -> list[str]:
    return [one.code for one in questions_for(phase)]


def asked(phase: str, source: str) -> list[Question]:
    return [one for one in questions_for(phase) if any(source in name for name in one.sources)]


@pytest.mark.parametrize(("name", "items", "count", "does"), LISTS, ids=lambda one: str(one)[:16])
def test_every_item_of_the_four_lists_is_asked_with_the_identity_of_its_list(
    name: str, items: dict[str, set[str]], count: int, does: Effect
) -> None:
    """3.11, 3.12, 3.14, 3.15, and 3.16: absolute stops, relative holds."""
    assert len(items) == count
    wanted = set().union(*items.values())
    having = {code: one for code, one in questions().items() if name in one.lists}
    assert set(having) == wanted
    by_list = {row.does for one in having.values() for row in one.by_list if row.list == name}
    assert by_list == {does}
    not_asked = wanted - set(codes("pregnant"))
    assert not_asked <= {"twins", "triplets"}  # known from the number expected


@pytest.mark.parametrize(("name", "pattern"), AFTER_13.items())
def test_the_items_of_the_2025_consensus_that_are_known_are_asked_after_an_end(
    name: str, pattern: str
) -> None:
    """3.38, Davenport et al. 2025: 13 of 24 items could be read."""
    assert len(AFTER_13) == 13
    found = [
        one.code
        for one in asked("after", "Davenport")
        if re.search(pattern, one.words, re.IGNORECASE)
    ]
    assert found != [], name


def test_the_stricter_list_counts_where_two_differ_and_both_are_kept() -> None:
    """3.17: growth restriction is relative in the older list and absolute in the Canadian one;
    so with uncontrolled diabetes, hypertension, thyroid; pregnancy hypertension the other way."""
    for code in ("growth", "diabetes", "hypertension", "thyroid"):
        assert {"canada-absolute", "acog-relative"} <= set(questions()[code].lists)
        assert effect_on(code, "yes", age("20w0d")) is Effect.STOP
    assert {"acog-absolute", "canada-relative"} == set(questions()["pressure"].lists)
    assert effect_on("pressure", "yes", age("20w0d")) is Effect.STOP


@pytest.mark.parametrize(
    ("fact", "code", "at", "does"),
    [
        ("3.11 the day before 26 weeks", "praevia", "25w6d", Effect.NOTE),
        ("3.11 after 26 weeks, older ACOG/ACSM", "praevia", "26w0d", Effect.STOP),
        ("3.14 the Canadian list not yet: the stricter counts", "praevia", "27w6d", Effect.STOP),
        ("3.14 both lists", "praevia", "28w1d", Effect.STOP),
        ("3.15 the day before week 28", "twins", "27w6d", Effect.NOTE),
        ("3.15 twins after week 28", "twins", "28w0d", Effect.HOLD),
        ("3.14 triplets at any week", "triplets", "8w0d", Effect.STOP),
    ],
)
def test_what_begins_at_a_week(fact: str, code: str, at: str, does: Effect) -> None:
    assert effect_on(code, "yes", age(at)) is does, fact


def test_the_weeks_of_praevia_stand_beside_their_lists() -> None:
    """3.11, 3.14: 26 against 28 weeks."""
    begins = {one.list: str(one.begins) for one in questions()["praevia"].by_list}
    assert begins == {"acog-absolute": "26w0d", "canada-absolute": "28w0d"}
    assert effect_on("praevia", "yes", None) is Effect.STOP  # a week not known is never fine


def test_a_body_mass_index_of_12_is_not_under_12() -> None:
    """3.12, older ACOG/ACSM: 11.9 is flagged, 12.0 is not; the words say under."""
    assert "under 12" in questions()["weight-low"].words


def test_an_answer_that_is_not_sure_is_never_fine() -> None:
    """Policy of the practice; one yes refers, all no allows (common practice)."""
    for one in questions().values():
        assert effect_on(one.code, "unsure", age("20w0d")) is not Effect.NOTE
    assert judged({"blood": "no", "heart": "yes"}, age("20w0d")) == "stop"
    assert judged({"anaemia": "yes", "heart": "no"}, age("20w0d")) == "hold"
    assert judged({code: "no" for code in codes("pregnant")}, age("20w0d")) == ""


@pytest.mark.parametrize(
    ("items", "count", "source"),
    [(CDC_15, 15, "CDC"), (ACOG_10, 10, "ACOG Committee Opinion 804"), (AWHONN_5, 5, "AWHONN")],
    ids=["3.50 CDC", "3.07 ACOG 804, exact ten from memory", "3.53 AWHONN"],
)
def test_every_urgent_sign_of_a_list_is_a_sign_that_names_it(
    items: dict[str, set[str]], count: int, source: str
) -> None:
    assert len(items) == count
    signs = warning_signs()
    for name, wanted in items.items():
        for code in wanted:
            assert any(source in one for one in signs[code].sources), name


def test_the_four_emergencies_come_first_and_say_so() -> None:
    """3.52, AWHONN POST-BIRTH: pain in the chest, breathing, seizures, thoughts of harm."""
    assert all(warning_signs()[code].emergency for code in AWHONN_4)
    for phase in ("pregnant", "after"):
        first = [one.emergency for one in questions_for(phase)]
        assert first == sorted(first, reverse=True)
        assert set(codes(phase)[: sum(first)]) >= AWHONN_4


def test_one_sign_keeps_all_its_sources() -> None:
    """3.54: seven are in ACOG 804 and in the CDC's list; each is asked once."""
    for code in OVERLAP:
        names = " ".join(warning_signs()[code].sources)
        assert ("ACOG Committee Opinion 804" in names, "CDC" in names) == (True, True), code
    for phase in ("pregnant", "after"):
        assert len(codes(phase)) == len(set(codes(phase)))


def test_the_older_list_adds_movements_and_early_labour() -> None:
    """3.08, ACOG 2002: not merged silently."""
    having = {code for code, one in warning_signs().items() if "ACOG 2002" in one.sources}
    assert having >= {"movement", "contractions"}
    assert "belly" not in having


def test_signs_without_a_source_say_so() -> None:
    """3.55: itching, saddle numbness, retention."""
    for code in ("itch", "numb", "retention"):
        assert warning_signs()[code].sources == ("common practice, no source",)
        assert questions()[code].sources == ("common practice, no source",)


def test_movements_are_never_asked_after_an_end_and_the_rest_is_on_day_365() -> None:
    """3.50, CDC: pregnancy only; day 365 after a birth still counts."""
    assert "movement" in codes("pregnant")
    assert "movement" not in codes("after")
    dates = [PregnancyDates(due=BIRTH, ended=BIRTH, ending=Ending.BIRTH)]
    on_365 = {one.code for one in signs_for(stage_on(dates, BIRTH + timedelta(days=365)))}
    cdc = {one.code for one in asked("after", "CDC")}
    assert cdc == set().union(*CDC_15.values()) - {"movement", "blood", "fluid"} | {"unconscious"}
    assert cdc <= on_365
