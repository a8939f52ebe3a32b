"""Set-up: a new part step by step, every field checked as it is typed, the plan shown before it starts."""

from __future__ import annotations

import core
from shopapp.presenters import (
    belongings,
    complaints,
    responses,
    setup_checks,
    setup_draft,
    setup_like,
    setup_rows,
    setup_sets,
    setup_view,
    turning,
)
from shopapp.presenters.base import Presenter, Touch
from shopapp.presenters.cautions import cautions_understood
from shopapp.presenters.complaints import Checked
from shopapp.presenters.responses import Start
from shopapp.presenters.session import Session
from shopapp.presenters.setup_draft import Draft
from shopapp.presenters.setup_fields import BITES, CHECKS, Table
from shopapp.presenters.setup_kinds import steps
from shopapp.presenters.views import SetupView

STORED = "set_up"
"""name of the half-typed set-up among the shop's settings"""
CARRIED = ("tool.", "machine.", "template.", "pitch", "tolerance", "batch")
"""what the next new part starts with: the machine, the way of measuring"""


KEPT_ON = ("tool", "machine", "material", "template", "gauge")
"""parts of the document that go on to the next part with what the form does not show of them"""


class SetupPresenter(Presenter[SetupView]):
    """Keys: step:NAME, back, forward, choose:FIELD=VALUE, row_add, row_drop:INDEX, usual and own_check
    (checks), turn, file, original, known, trial, metal, start, clear, keep:KIND and forget:KIND of what the
    shop owns."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._draft, self._last, self._touched = _stored(session)
        self._step = "job"
        self._all_shown = False
        self._owned: object = None
        self._checked_of: Draft | None = None
        self._checked = Checked(None, ())
        self._begun_of: tuple[Draft, object] | None = None
        self._begun_job: Start | None = None
        self.touches = {
            "step": self._go_to,
            "back": lambda _: self._go_by(-1),
            "forward": lambda _: self._go_by(1),
            "choose": self._choose,
            "row_add": self._row_add,
            "row_drop": self._row_drop,
            "turn": lambda _: self._keep(turning.turned(self._draft)),
            "known": self._known,
            "trial": self._trial,
            "start": self._start,
            "clear": self._clear,
            "keep": self._keep_set,
            "forget": self._forget_set,
            "metal": self._metal,
            "file": self._from_file,
            "original": self._off_original,
            "usual": self._usual,
            "own_check": lambda _: "own_check",
        }

    def change(self, name: str, text: str) -> SetupView:
        """A field was typed into. name : as in the view; the text is kept whether it is right or not"""
        return self.attempt(lambda typed: self._type(name, typed), text)

    def attempt(self, touch: Touch, rest: str) -> SetupView:
        """As in the base, after a wish for "another like it" was taken over."""
        self._take_like()
        return super().attempt(touch, rest)

    def view(self, go: str = "") -> SetupView:
        """The step that is open, with all that is wrong in it."""
        self._take_like()
        checked = self._check()
        begun = self._begun() if self._step == "plan" else None
        self.session.try_out(None if begun is None else begun.job)
        return setup_view.draw(
            draft=self._draft,
            step=self._step,
            checked=checked,
            shown=None if self._all_shown else self._touched,
            plan=self.session.trial_plan,
            begun=begun,
            problem=self.complaint,
            owned=belongings.owned(self.session),
            go=go,
        )

    def _take_like(self) -> None:
        if self.session.like is not None:
            draft = setup_like.like(self.session.like)
            self.session.like, self._step, self._all_shown = None, "job", False
            self._keep(draft)
        if self.session.metal_kept:
            name, self.session.metal_kept = self.session.metal_kept, ""
            self._keep(setup_sets.taking(self._draft, "material", name, belongings.owned(self.session)))
        if self.session.line_taken is not None:
            line, self.session.line_taken = self.session.line_taken, None
            self._keep(setup_like.with_line(self._draft, line))
        if self.session.check_made:
            made, self.session.check_made = self.session.check_made, ""
            self._keep(setup_checks.with_line(self._draft, made, belongings.owned(self.session)))
        kept = self.session.shop.settings.get(belongings.STORED)
        if kept != self._owned:
            self._owned = kept
            draft = setup_sets.renewed(self._draft, belongings.owned(self.session))
            if draft != self._draft:
                self._keep(draft)

    def _check(self) -> Checked:
        """All complaints, worked out once for each state of the draft."""
        if self._checked_of is not self._draft:
            document, harmless = setup_checks.document(self._draft), setup_draft.harmless(self._draft)
            self._checked, self._checked_of = complaints.checked(document, harmless), self._draft
        return self._checked

    def _begun(self) -> Start | None:
        """The job with what it starts from, worked out once for each state of draft and library; None while
        something is wrong."""
        checked, known = self._check(), self.session.shop.settings.get(responses.STORED)
        if checked.job is None or checked.complaints:
            return None
        if self._begun_of is None or self._begun_of[0] is not self._draft or self._begun_of[1] != known:
            document, wanted = setup_checks.document(self._draft), self._draft.choice("known") == "on"
            self._begun_job = responses.start(self.session, document, checked.job, wanted)
            self._begun_of = (self._draft, known)
        return self._begun_job

    def _keep(self, draft: Draft) -> None:
        """The draft goes to disk with every change, so that a closed app loses nothing."""
        self._draft = draft
        stored = {"draft": draft.plain(), "last": self._last, "touched": sorted(self._touched)}
        self.session.shop.settings.set(STORED, stored)

    def _type(self, name: str, text: str) -> None:
        """Checks take the gauges that they name; a table without a blank row is ready to be judged as one."""
        self._touched.add(name)
        table, draft = self._table(), setup_sets.no_longer(self._draft, name)
        at = None if table is None else setup_rows.cell_of(table, name)
        if table is None or at is None:
            self._keep(draft.with_text(name, text))
            return
        draft = setup_rows.typed_into(draft, table, at, text)
        if len(setup_draft.kept_rows(draft.rows(table))) == len(draft.rows(table)):
            self._touched.add(table.name)
        owned = belongings.owned(self.session)
        self._keep(setup_checks.with_gauges(draft, owned) if table is CHECKS else draft)

    def _usual(self, _: str) -> None:
        """The usual checks of this kind, one line each, to be changed."""
        job = self._check().job
        if job is None:
            raise core.InputError("checks", None, "first put right what is marked in the steps before")
        self._keep(setup_checks.listing(self._draft, core.usual_checks(job.part)))

    def _table(self) -> Table | None:
        return setup_draft.table_of(self._draft, self._step)

    def _choose(self, rest: str) -> None:
        name, _, value = rest.partition("=")
        if "." in name:  # a field with a few usual texts
            self._type(name, value)
            return
        self._touched.add(name)
        self._keep(setup_sets.taking(self._draft, name, value, belongings.owned(self.session)))

    def _row_add(self, _: str) -> None:
        self._keep(setup_rows.with_row(self._draft, self._need_table()))

    def _row_drop(self, index: str) -> None:
        self._keep(setup_rows.without_row(self._draft, self._need_table(), int(index)))

    def _need_table(self) -> Table:
        table = self._table()
        if table is None:
            raise core.InputError("row", None, "this step has no table")
        return table

    def _go_to(self, step: str) -> None:
        if step not in steps(self._draft.kind):
            raise KeyError(step)
        self._touched |= setup_view.field_names(self._draft, self._step)
        self._step = step
        self._all_shown = self._all_shown or step == "plan"

    def _go_by(self, by: int) -> None:
        names = list(steps(self._draft.kind))
        place = names.index(self._step) + by
        if 0 <= place < len(names):
            self._go_to(names[place])

    def _clear(self, _: str) -> None:
        """Start the form anew, with machine and measuring as they were last."""
        self._touched, self._step, self._all_shown = set(), "job", False
        draft = setup_draft.from_plain(self._last) if self._last else Draft()
        owned = belongings.owned(self.session)
        self._keep(setup_sets.with_limits(setup_sets.renewed(draft, owned), owned))

    def _keep_set(self, kind: str) -> None:
        """Keep the tool set or the machine of this form for the next jobs."""
        part = setup_sets.SETS[kind]
        document = setup_draft.document(self._draft).get(part) or {}
        if not str(document.get("name", "")).strip():
            raise core.InputError(f"{part}.name", document.get("name"), "a name to find it by is wanted")
        belongings.keep(self.session, kind, document)
        self._keep(self._draft.with_choice(kind, document["name"]))

    def _forget_set(self, kind: str) -> None:
        """What this form holds stays in it, so that keeping it again undoes this."""
        belongings.forget(self.session, kind, self._draft.choice(kind))
        self._keep(self._draft.with_choice(kind, ""))

    def _known(self, _: str) -> None:
        """Start from what the shop knows, or from the first guess alone."""
        other = "off" if self._draft.choice("known") == "on" else "on"
        self._keep(self._draft.with_choice("known", other))

    def _from_file(self, _: str) -> str:
        """As what this kind of part takes."""
        self.session.line_part = self._draft.kind.line_part
        return "line_file"

    def _off_original(self, _: str) -> str:
        """As what this kind of part takes."""
        self.session.line_part = self._draft.kind.line_part
        return "original"

    def _metal(self, _: str) -> str:
        """All that is known of the metal that is chosen."""
        self.session.metal_of = self._check().job
        if self.session.metal_of is None:
            raise core.InputError("material", None, "first put right what is marked")
        self.session.metal_in_hand = setup_draft.document(self._draft)["material"]
        return "metal"

    def _trial(self, _: str) -> str:
        """A trial on an offcut for this job."""
        self.session.offcut_of = self._must_begin().job
        return "trial"

    def _must_begin(self) -> Start:
        begun = self._begun()
        if begun is None:
            self._all_shown = True
            raise core.InputError("part", None, "first put right what is marked")
        return begun

    def _start(self, _: str) -> str:
        """Begin the record of the part, and open it. Cautions that were understood before a trial for it need
        not be read again."""
        session = self.session
        session.open(session.shop.new_part(self._must_begin().document))
        session.try_out(None)
        if session.understood == session.job.metal.name:
            session.log(cautions_understood())
        session.understood = ""
        self._last = carried(self._draft).plain()
        self._clear("")
        return "part"


def carried(draft: Draft) -> Draft:
    """What stays the same from part to part: machine, gauge, template, pitch, tolerance, metal."""
    texts = {name: text for name, text in draft.texts.items() if name.startswith(CARRIED)}
    choices = {name: draft.choice(name) for name in ("kind", "material", "template")}
    choices |= {name: text for name, text in draft.choices.items() if name in ("gauge", *setup_sets.SETS)}
    tables = {name: rows for name, rows in draft.tables.items() if name == BITES.name}
    kept = {name: draft.kept[name] for name in KEPT_ON if name in draft.kept}
    return Draft(texts, tables, choices, kept)


def _stored(session: Session) -> tuple[Draft, dict[str, object], set[str]]:
    """The set-up as it was left, from the shop's settings."""
    stored = session.shop.settings.get(STORED)
    if stored is None:
        return Draft(), {}, set()
    return setup_draft.from_plain(stored["draft"]), stored["last"], set(stored["touched"])
