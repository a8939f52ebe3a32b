"""What the finish check shows: its checks as rows, and what stands between them and the sign-off."""

from __future__ import annotations

from dataclasses import dataclass

from shopapp.presenters.pieces import Header, Key


@dataclass(frozen=True)
class CheckRow:
    """One check. value : as typed or read; limit : "at most 0.50 mm"; verdict : words, with its state;
    photo : its file below the data folder, "" for none"""

    name: str
    label: str
    gauge: str
    value: str
    unit: str
    limit: str
    verdict: str
    state: str
    complaint: str = ""
    editable: bool = True
    current: bool = False
    photo: str = ""


@dataclass(frozen=True)
class FinishView:
    """Finish check. closed : signed off, nothing can be changed; needs : why sign-off is off, else "";
    signed : sentences on the sign-off and what came later, () before it; photo : file typed for the check in
    hand, None where none belongs to it; warnings : gauges whose calibration is past"""

    header: Header
    rows: tuple[CheckRow, ...]
    who: str
    concession: str
    needs: str
    signed: tuple[str, ...]
    keys: tuple[Key, ...]
    photo: str | None = None
    warnings: tuple[str, ...] = ()
    pad: tuple[Key, ...] = ()
    closed: bool = False
    busy: str = ""
    complaint: str = ""
    go: str = ""
