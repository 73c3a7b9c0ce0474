"""Exercises and what each asks of the body, read from the app's data. Pure.

Attributes are common practice, no source, judged conservatively: in doubt the higher demand. The
load on the pelvic floor and the balance are scales of our own. Intensity follows the Compendium
code where one fits. What each word means:

- core: "rotation" is turning, or holding against turning or bending to a side, but no stretch;
  "leg-lowering" holds both legs off the floor, or lowers one or both.
- impact: "low", one foot stays down in quick steps; "high", both feet leave the ground.
- balance: 1 stands on one leg with a hand at something, steps or lunges; 2 has nothing to hold.
- still standing: a hold on the feet in which nothing moves.
- heavy: more than light weights; the kit does not tell.
"""

from __future__ import annotations

from dataclasses import dataclass

POSITIONS: dict[str, str] = {
    "standing": "standing", "seated": "seated", "kneeling": "kneeling", "all fours": "on all fours",
    "side-lying": "lying on the side", "supine": "lying on the back", "prone": "lying on the front",
    "reclined": "half sitting",
}  # fmt: skip
STANCES: dict[str, str] = {
    "": "", "two legs": "on two legs", "split": "split stance", "wide": "wide stance",
    "single-leg": "on one leg",
}  # fmt: skip
SIDES: dict[str, str] = {
    "one": "no sides", "each": "each side", "alternating": "sides in turn",
}  # fmt: skip
IMPACT: dict[str, str] = {"none": "none", "low": "low, one foot stays down", "high": "high"}
CORE: dict[str, str] = {
    "none": "none", "flexion": "curling up", "rotation": "turning", "plank": "plank-like",
    "leg-lowering": "lowering both legs",
}  # fmt: skip
KIT: dict[str, str] = {
    "band": "a band", "loop": "a loop band", "ball": "a soft ball", "chair": "a chair",
    "wall": "a wall", "mat": "a mat", "weights": "light weights", "cushion": "a cushion",
    "step": "a step", "big ball": "a big ball", "worktop": "a worktop", "towel": "a towel",
}  # fmt: skip
FOCUSES = (
    "core", "pelvic floor", "upper body", "legs", "full body", "mobility", "recovery", "breath",
)  # fmt: skip
INTENSITIES = ("light", "moderate", "vigorous")
MOST_FLOOR, MOST_BALANCE, MOST_CUES = 3, 2, 3


@dataclass(frozen=True, slots=True)
class Exercise:
    """One exercise. `pelvic_load`: 0 none to 3 high; `balance`: 0 steady, 1 asks balance, 2 a risk
    of falling. `compendium`: "2024:02024", edition and code, "" where none fits; `met` of it.
    """

    code: str
    name: str
    aliases: tuple[str, ...] = ()
    position: str = "standing"
    stance: str = ""
    sides: str = "one"
    impact: str = "none"
    core_load: str = "none"
    pelvic_load: int = 0
    breath_holding: bool = False
    balance: int = 0
    lying_flat: bool = False
    prone: bool = False
    still_standing: bool = False
    heavy: bool = False
    kit: tuple[str, ...] = ()
    focus: str = "full body"
    intensity: str = "light"
    compendium: str = ""
    met: float | None = None
    cues: tuple[str, ...] = ()
    easier: tuple[str, ...] = ()
    harder: tuple[str, ...] = ()

    @property
    def spoken(self) -> tuple[str, ...]:
        """Its name and what else it is called."""
        return (self.name, *self.aliases)


@dataclass(frozen=True, slots=True)
class Wrong:
    """What cannot be about one field of an exercise, in a sentence."""

    field: str
    sentence: str
