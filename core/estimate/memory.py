"""What the iterations of a refit keep from one to the next."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from core.estimate.around import About
from core.estimate.asides import SetAside
from core.estimate.lobesize import LobeSize
from core.estimate.standing import Struck
from core.kinds.base import Part

Array = NDArray[np.float64]
Adrift = dict[int, dict[int, float]]  # by round and site: variance of work that no stroke explains


@dataclass
class Memory:
    """Assumed values.

    alone_mm : by round, (n,) sd of how its readings differ from others of their shape; large : how large
    lobes are, None as good work leaves them; rough : the response is still far off;
    waiting : slopes taken anew are yet to be used; adrift : by round, variance of the work of sites that
    moved as no stroke explains; held : by round, readings beyond the gauge that stand; settled : rounds whose
    geometry is that of the last readings of their shape; struck : the part as each pass found it; on : by
    round, the part that its geometry is of
    """

    theta: Array
    alone_mm: dict[int, Array] = field(default_factory=dict)
    large: LobeSize | None = None
    geometry: dict[int, About] = field(default_factory=dict)
    set_aside: dict[int, SetAside] = field(default_factory=dict)
    adrift: Adrift = field(default_factory=dict)
    held: dict[int, set[int]] = field(default_factory=dict)
    settled: set[int] = field(default_factory=set)
    struck: Struck = field(default_factory=Struck)
    on: dict[int, Part] = field(default_factory=dict)
    rough: bool = True
    waiting: bool = False
