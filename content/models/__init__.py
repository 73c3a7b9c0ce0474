"""Classes, how they are designed and planned, and what was made of them."""

from content.models.classes import FitnessClass, Focus, Series, State, Upload
from content.models.designing import (
    ClassCorrection,
    ClassDesign,
    ClassText,
    DescriptionTemplate,
    DesignStep,
    FilmedTimes,
    OwnExercise,
    SentClass,
)
from content.models.planning import (
    Away,
    CheckItem,
    ClassCheck,
    DayOff,
    EarlierPlan,
    Enquiries,
    Preference,
    Proposal,
    Rhythm,
    Step,
    Wishes,
)

__all__ = [
    "Away",
    "CheckItem",
    "ClassCheck",
    "ClassCorrection",
    "ClassDesign",
    "ClassText",
    "DayOff",
    "DescriptionTemplate",
    "DesignStep",
    "EarlierPlan",
    "Enquiries",
    "FilmedTimes",
    "FitnessClass",
    "Focus",
    "OwnExercise",
    "Preference",
    "Proposal",
    "Rhythm",
    "SentClass",
    "Series",
    "State",
    "Step",
    "Upload",
    "Wishes",
]
