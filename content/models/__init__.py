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
from content.models.planning import DayOff, Preference, Proposal, Wishes

__all__ = [
    "ClassCorrection",
    "ClassDesign",
    "ClassText",
    "DayOff",
    "DescriptionTemplate",
    "DesignStep",
    "FilmedTimes",
    "FitnessClass",
    "Focus",
    "OwnExercise",
    "Preference",
    "Proposal",
    "SentClass",
    "Series",
    "State",
    "Upload",
    "Wishes",
]
