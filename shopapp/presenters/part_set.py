"""A set: parts alike side by side, charts of their gap and response, and the next one."""

from __future__ import annotations

from math import isfinite

import core
from shopapp.presenters import last_time, paper, set_charts, sets, wording
from shopapp.presenters.base import Presenter, Touch
from shopapp.presenters.picture_views import Picture
from shopapp.presenters.pieces import Header, Key
from shopapp.presenters.session import Session
from shopapp.presenters.sets import Member, PartSet
from shopapp.presenters.views import SetLine, SetRow, SetView

SHOWN = {"parts": "Parts", "gap": "Gaps", "response": "Answers"}
NONE = (
    "No set yet. Touch Set on the screen of a part, then the large key: parts alike start from what those "
    "before them told."
)
MOST_SETS = 40
MORE = "The {} changed last are shown, of {:,}. Any other is behind the key Set of one of its parts."
COIL = "another coil, batch or tool from the next part on: it starts from the first guess"


class SetPresenter(Presenter[SetView]):
    """Keys: set:ID, list, show:parts, show:gap, show:response, open:PART, begin, coil, wanted:BY, write
    (where there is a folder for it)."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._of = ""
        self._shown, self._coil, self._more = "parts", False, 0
        self._worked_out: tuple[object, core.SetSummary] | None = None
        self.touches = {
            "set": self._choose,
            "list": self._choose,
            "show": self._show,
            "open": self._open,
            "begin": self._begin,
            "coil": self._new_coil,
            "wanted": self._want,
            "write": self._write,
        }

    def attempt(self, touch: Touch, rest: str) -> SetView:
        """As in the base, of the set that is shown now."""
        self._look_at()
        self.session.record_told = None
        return super().attempt(touch, rest)

    def _look_at(self) -> None:
        """Another set begins with its parts, and with nothing noted."""
        if self._of != self.session.set_shown:
            self._of, self._shown, self._coil, self._more = self.session.set_shown, "parts", False, 0

    def view(self, go: str = "") -> SetView:
        """One set, or the list of all."""
        self._look_at()
        found = sets.part_set(self.session, self._of) if self._of else None
        return self._list(go) if found is None else self._one(found, go)

    def _list(self, go: str) -> SetView:
        rows, all_ids = [], sets.ids(self.session)
        for set_id in all_ids[:MOST_SETS]:
            found = sets.part_set(self.session, set_id)
            if found is not None:
                names = f"{found.members[0].name} to {found.members[-1].name}"
                rows.append(SetRow(f"set:{set_id}", f"{_count(found)}", names))
        said = () if rows else (NONE,)
        said = (MORE.format(MOST_SETS, len(all_ids)),) if len(all_ids) > MOST_SETS else said
        return SetView(Header("Sets of parts alike", unit=""), (), tuple(rows), sentences=said, go=go)

    def _one(self, of: PartSet, go: str) -> SetView:
        summary = self._summary(of)
        charted = self._shown != "parts"
        drawing = self._chart(of, summary) if charted else None
        changes = tuple(t for t in summary.outlook.sentences if "new coil" in t or "Another batch" in t)
        said = tuple(t for t in summary.sentences if t not in changes)
        mine = [
            t
            for t in summary.sentences
            if t.startswith({"gap": ("Final", "How sure")}.get(self._shown, "Resp"))
        ]
        told = self.session.record_told
        return SetView(
            header=Header(f"Set of {of.members[0].name}: {_count(of)}", unit="", back=self._back(of)),
            keys=self._keys(of, summary),
            table=() if charted else _table(of, summary),
            picture=None if drawing is None else Picture((), drawing, ()),
            start=(told and told.said) or self._start(of, summary),
            watch=changes,
            sentences=tuple(mine) if charted else said,
            complaint=self.complaint or ("" if told is None else told.problem),
            go=go,
        )

    def _back(self, of: PartSet) -> str:
        here = any(one.part_id == self.session.part_id for one in of.members)
        return "part" if here else "bench"

    def _summary(self, of: PartSet) -> core.SetSummary:
        """Worked out once for each state of its parts."""
        state = (of.id, of.members, self._coil)
        if self._worked_out is None or self._worked_out[0] != state:
            self._worked_out = (state, of.summary(self._coil))
        return self._worked_out[1]

    def _chart(self, of: PartSet, summary: core.SetSummary) -> object:
        if self._shown == "gap":
            return set_charts.gap_chart(summary, of.job.tolerance_mm)
        return set_charts.response_chart(summary)

    def _start(self, of: PartSet, summary: core.SetSummary) -> str:
        """What the next part starts from, said before it is begun."""
        outlook = summary.outlook
        if not outlook.seen:
            return "The next part starts from the first guess" + (", of a new coil" if self._coil else "")
        since = of.told[outlook.begun :]
        which = f"part {since[0].part}" if len(since) == 1 else f"parts {since[0].part} to {since[-1].part}"
        return f"The next part starts from {which}"

    def _keys(self, of: PartSet, summary: core.SetSummary) -> tuple[Key, ...]:
        last = of.members[-1]
        known = bool(summary.outlook.seen) and last.finished and not self._coil
        text = last_time.AS_LAST_TIME if known else "Next part"
        begin = Key("begin", text, main=last.finished, why=self._start(of, summary))
        go_on = () if last.finished else (Key(f"open:{last.part_id}", f"Go on: part {last.part}", main=True),)
        shown = (Key(f"show:{name}", text, chosen=name == self._shown) for name, text in SHOWN.items())
        wanted = self._wanted(of)
        return (
            *go_on,
            begin,
            *shown,
            Key("coil", "New coil", chosen=self._coil, why=COIL),
            Key("wanted:1", f"{wanted} wanted: one more"),
            Key("wanted:-1", "One fewer", enabled=wanted > last.part + 1, why="no fewer than the next part"),
            *paper.set_keys(self.session),
            Key("list", "All sets"),
        )

    def _wanted(self, of: PartSet) -> int:
        last = of.members[-1]
        return max(max(last.of or 0, last.part + 1) + self._more, last.part + 1)

    def _choose(self, set_id: str) -> None:
        self.session.set_shown = set_id

    def _show(self, what: str) -> None:
        self._shown = SHOWN[what] and what

    def _open(self, part_id: str) -> str:
        self.session.open(part_id)
        return "part"

    def _new_coil(self, _: str) -> None:
        self._coil = not self._coil

    def _want(self, by: str) -> None:
        self._more += int(by)

    def _write(self, _: str) -> None:
        found = self._must()
        paper.ask_set(self.session, found.job, self._summary(found), found.id)

    def _must(self) -> PartSet:
        found = sets.part_set(self.session, self._of)
        if found is None:
            raise core.InputError("set", self._of, "its parts are no longer there")
        return found

    def _begin(self, _: str) -> str:
        found = self._must()
        sets.begin(self.session, found, self._coil, self._wanted(found))
        self._coil, self._more = False, 0
        return "part"


def _count(of: PartSet) -> str:
    last, done = of.members[-1], sum(one.finished for one in of.members)
    wanted = max(last.of or 0, last.part)
    return f"{done} of {wanted} finished" if wanted > 1 else wording.count(len(of.members), "part")


def _table(of: PartSet, summary: core.SetSummary) -> tuple[SetLine, ...]:
    """Passes, strokes, minutes, widest gap, response of every part."""
    head = (
        ("part", "part"),
        ("passes", "pass"),
        ("strokes", "strk"),
        ("minutes", "min"),
        ("gap, mm", "mm"),
        ("answer", "ans"),
    )
    return (SetLine(head, head=True), *(_line(one, summary, of) for one in of.members))


def _line(one: Member, summary: core.SetSummary, of: PartSet) -> SetLine:
    done = one.done
    if done is None:
        return SetLine(((f"{one.part}  {one.name}", f"{one.part}"), ("none", "0"), *[("", "")] * 4))
    place = of.told.index(one)
    change = {"announced": "coil", "noticed": "coil?"}.get(summary.outlook.steps[place].change, "")
    name = ", ".join(
        [one.name, *([f"new {change}"] if change else []), *([] if done.finished else ["in work"])]
    )
    outside = isfinite(done.gap_mm) and done.gap_mm > of.job.tolerance_mm
    gap = wording.band(done.gap_mm, done.gap_sd_mm).removesuffix(" mm") if isfinite(done.gap_mm) else "?"
    short = f"{wording.digits(done.gap_mm)}{'!' if outside else ''}" if isfinite(done.gap_mm) else "?"
    minutes = f"{done.minutes:.0f}" if isfinite(done.minutes) else "?"
    answer = summary.response[place]
    told = f"{100 * answer:.0f} %" if isfinite(answer) else "?"
    figures = (f"{len(done.passes)}", f"{done.strokes}", minutes)
    return SetLine(
        (
            (f"{one.part}  {name}", f"{one.part} {change}"),
            *((text, text) for text in figures),
            (f"{gap}{' !' if outside else ''}", short),
            (told, told),
        ),
        bold=bool(change) or outside,
    )
