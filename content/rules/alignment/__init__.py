"""When each planned interval of a class really began, found in what was said while filming. Pure.

`targets.py` says what may be heard of each interval, `spotted.py` finds where it may have been
said, `evidence.py` weighs that for every second, `path.py` chooses the most likely course by the
order of the plan and its lengths; `aligned.py` puts them together.
"""

from content.rules.alignment.aligned import Aligned, Found, Overrun, align
from content.rules.alignment.targets import Target, targets_of

__all__ = ["Aligned", "Found", "Overrun", "Target", "align", "targets_of"]
