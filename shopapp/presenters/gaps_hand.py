"""What the operator has in hand at the gaps."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Question:
    """text : why a reading is asked for again, "" where it is not, or not any more; expected : what the text
    holds it against, "" where nothing was asked"""

    text: str = ""
    expected: str = ""


NONE = Question()


@dataclass(frozen=True)
class Hand:
    """What the operator has in hand and is not logged yet; it belongs to one round of one part.

    entry : typed so far; refused : Enter did not take it, and what is typed next begins anew;
    station : asked for by a tap, else None; question : why the reading at ``station`` is asked for again;
    doubted : station that is being read again for that; gauge, template : chosen for this round;
    pad : True, False, or None while the gauge decides; at_deg : meridian chosen, None: the one read last;
    choosing : "gauge", "template", "meridian", "angle" (a meridian, typed) or ""
    """

    of: tuple[str, int] = ("", 0)
    entry: str = ""
    refused: bool = False
    station: int | None = None
    question: Question = NONE
    doubted: int | None = None
    last: str = ""
    gauge: str | None = None
    template: str | None = None
    pad: bool | None = None
    choosing: str = ""
    at_deg: float | None = None
