"""A check for the list of the set-up, put together by touch: what, within which limits, with what, on which
parts."""

from __future__ import annotations

import core
from shopapp.presenters import belongings
from shopapp.presenters.base import Presenter
from shopapp.presenters.own_metal_views import OwnMetalView
from shopapp.presenters.pieces import Header, Key
from shopapp.presenters.session import Session
from shopapp.presenters.setup_draft import with_unit
from shopapp.presenters.setup_views import FieldView

KNOWN = {check.name: check for check in core.CHECKS}
UNITS = {"length": "mm", "angle": "°", "look": ""}
EVERY, ANOTHER, USUAL, NO, YES = "every part", "", "", "no", "yes"
SAMPLED = (EVERY, "first and last", "1 in 2", "1 in 3", "1 in 5", "1 in 10")
SAID = (
    "It comes as one line on the list of checks, where it can be changed or dropped. A limit that is left "
    "blank is none, or the usual one of this check.",
    "A gauge that is not among them is kept under What we own first, with its uncertainty.",
)


class OwnCheckPresenter(Presenter[OwnMetalView]):
    """Keys: choose:FIELD=VALUE, add. Text fields: "name" (of another check), "at_least", "at_most"."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._texts: dict[str, str] = {}
        self._begin(core.CHECKS[0].name)
        self.touches = {"choose": self._choose, "add": self._add}

    def change(self, name: str, text: str) -> OwnMetalView:
        """A field was typed into; the text is kept whether it is right or not."""
        self._texts[name] = text
        return self.view()

    def view(self, go: str = "") -> OwnMetalView:
        """What is asked for, and the line that comes of it."""
        wrong = self._wrong()
        return OwnMetalView(
            header=Header("A check for the list", unit="", back="setup"),
            fields=self._fields(),
            sentences=(*(() if wrong else (f"The line: {self._line()}",)), *SAID),
            keys=(Key("add", "Put on the list", main=True, enabled=not wrong, why=wrong),),
            complaint=self.complaint,
            go=go,
        )

    def _known(self) -> core.Check | None:
        return KNOWN.get(self._texts["what"])

    def _unit(self) -> str:
        known = self._known()
        return UNITS[self._texts["quantity"]] if known is None else known.unit

    def _begin(self, what: str) -> None:
        """With the usual limits of a check that the program knows."""
        known = KNOWN.get(what)
        limits = {"at_least": known.low, "at_most": known.high} if known else {}
        self._texts = {
            **{
                "what": what,
                "name": "",
                "quantity": "length",
                "gauge": USUAL,
                "sampling": EVERY,
                "photo": NO,
            },
            **{end: "" if limits.get(end) is None else f"{limits[end]:g}" for end in ("at_least", "at_most")},
        }

    def _fields(self) -> tuple[FieldView, ...]:
        known, unit = self._known(), self._unit()
        what = {**{name: check.label for name, check in KNOWN.items()}, ANOTHER: "Another"}
        found = [self._choice("what", "What is checked", what)]
        if known is None:
            found.append(FieldView("name", "Its name", "text", self._texts["name"], hint="such as joggle"))
            found.append(
                self._choice(
                    "quantity", "It is", {"length": "a length", "angle": "an angle", "look": "a look"}
                )
            )
        if unit:
            labels = {"at_least": "At least", "at_most": "At most"}
            found += [
                FieldView(end, label, "number", self._texts[end], unit, unit_keys=())
                for end, label in labels.items()
            ]
        found.append(self._choice("gauge", "Read with", self._gauges()))
        found.append(self._choice("sampling", "Which parts", {one: one for one in SAMPLED}))
        if known is None or not known.photo:
            found.append(self._choice("photo", "With a photo", {NO: NO, YES: YES}))
        return tuple(found)

    def _choice(self, name: str, label: str, options: dict[str, str]) -> FieldView:
        now = self._texts[name]
        keys = tuple(Key(f"choose:{name}={key}", text, chosen=key == now) for key, text in options.items())
        return FieldView(name, label, "choice", now, choices=keys)

    def _gauges(self) -> dict[str, str]:
        """The usual one of the check first, then those that read such a thing, then the shop's own."""
        known, unit = self._known(), self._unit()
        usual = {USUAL: known.gauge} if known else {USUAL: "eye"} if not unit else {}
        of_checks = [check.gauge for check in core.CHECKS if check.unit == unit]
        of_gaps = list(core.GAUGES) if unit == "mm" else []
        own = list(belongings.gauges(self.session).gauges) if unit else []
        names = dict.fromkeys(name for name in (*of_checks, *of_gaps, *own) if name not in usual.values())
        return usual | {name: name for name in names}

    def _choose(self, rest: str) -> None:
        name, _, value = rest.partition("=")
        if name == "what":
            self._begin(value)
        elif name == "quantity":
            self._texts |= {"at_least": "", "at_most": "", "gauge": USUAL}
        self._texts[name] = value

    def _wrong(self) -> str:
        """What stands against the line, "" for nothing."""
        texts, unit = self._texts, self._unit()
        name = texts["what"] or texts["name"].strip()
        if not name or "," in name or ";" in name:
            return "a name without a comma is wanted" if name else "its name is wanted"
        if texts["gauge"] not in self._gauges():
            return "what it is read with is wanted"
        try:
            for end in ("at_least", "at_most") if unit == "mm" else ():
                if texts[end].strip():
                    core.parse_length_mm(with_unit(texts[end], unit), end)
        except core.InputError as error:
            return f"{error.value}: {error.expected}"
        return ""

    def _line(self) -> str:
        """As it is said on the floor, and typed."""
        texts, known, unit = self._texts, self._known(), self._unit()
        low, high = (with_unit(texts[end].strip(), unit) if unit else "" for end in ("at_least", "at_most"))
        limit = (
            f"{low} to {high}"
            if low and high
            else f"at least {low}"
            if low
            else f"at most {high}"
            if high
            else ""
        )
        pieces = (
            texts["what"] or texts["name"].strip(),
            limit,
            texts["gauge"],
            "" if texts["sampling"] == EVERY else texts["sampling"],
            "photo" if texts["photo"] == YES else "",
            "look" if known is None and not unit else "",
        )
        return ", ".join(piece for piece in pieces if piece)

    def _add(self, _: str) -> str:
        wrong = self._wrong()
        if wrong:
            raise core.InputError("check", None, wrong)
        self.session.check_made = self._line()
        self._begin(core.CHECKS[0].name)
        return "setup"
