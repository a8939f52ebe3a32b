"""Reading the fields of a document: presence, type, unit and range, each failure naming its field.

:class:`Fields` remembers which fields were asked for, so that what nobody asked for is an error with
the nearest known name, instead of being passed over. A length may be given under its plain name
(``"pitch": "40 mm"``, the unit is wanted) or under its name with the unit (``"pitch_mm": 40``).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from difflib import get_close_matches
from typing import Any

from core.errors import InputError
from core.units import format_angle, format_length, parse_angle_rad, parse_length_mm, parse_number

LONGEST_MM = 50_000.0  # no bar, line or coordinate of a shop is longer; a slip of the unit is


class MissingField(InputError):
    """A field that has to be given is not there."""

    def __init__(self, field: str, expected: str = "this has to be given") -> None:
        super().__init__(field, None, expected)
        self.args = (field, expected)

    def __str__(self) -> str:
        return f"{self.field or 'job'}: {self.expected}"


class Fields:
    """One mapping of a document under its path in the whole.

    warnings : sentences gathered on the way, shared by all parts of one document; settled : fields that were
    left open, with what they came to, as a document would give them.
    """

    def __init__(self, given: Any, path: str = "", warnings: list[str] | None = None) -> None:
        if not isinstance(given, Mapping):
            raise InputError(path or "job", given, "an object with named fields is wanted")
        self._given = given
        self._path = path
        self._asked: dict[str, None] = {}
        self.warnings: list[str] = [] if warnings is None else warnings
        self.settled: dict[str, Any] = {}

    def path(self, key: str) -> str:
        """Path of a field in the whole document, such as ``section.thickness``."""
        return ".".join(name for name in (self._path, key) if name)

    def has(self, key: str) -> bool:
        """Whether the field is given; ``null`` counts as not given."""
        self._asked[key] = None
        return self._given.get(key) is not None

    def has_length(self, key: str) -> bool:
        """Whether a length is given under either of its names."""
        return bool(self.has(key) | self.has(f"{key}_mm"))  # both are known names, so both are asked for

    def get(self, key: str, default: Any = None) -> Any:
        """The field as given, or ``default``."""
        return self._given[key] if self.has(key) else default

    def need(self, key: str, what: str = "this has to be given") -> Any:
        """The field as given. Raises InputError when it is not there."""
        if not self.has(key):
            self.refuse_misspelt(key)
            raise MissingField(self.path(key), what)
        return self._given[key]

    def one_of(self, *keys: str) -> str:
        """The one of these fields that is given. Raises InputError for none and for more than one."""
        found = [key for key in keys if self.has(key)]
        if len(found) == 1:
            return found[0]
        if found:
            wanted = f"'{found[0]}' is given too; only one of the two is wanted"
            raise InputError(self.path(found[1]), self._given[found[1]], wanted)
        for key in keys:
            self.refuse_misspelt(key)
        others = [
            f"'{key}'" for key in keys if key.removesuffix("_mm") not in (keys[0], *keys[: keys.index(key)])
        ]
        raise MissingField(self.path(keys[0]), " or ".join(["this", *others]) + " has to be given")

    def text(self, key: str, default: str | None = None) -> str:
        """A text that is not blank."""
        value = self.need(key) if default is None else self.get(key, default)
        if not isinstance(value, str) or not value.strip() or not value.strip().isprintable():
            raise InputError(self.path(key), value, "a text on one line is wanted")
        return value.strip()

    def choice(self, key: str, options: Mapping[str, Any]) -> str:
        """A text that is one of ``options``."""
        return chosen(self.need(key), self.path(key), options)

    def length_mm(self, key: str, default: float | None = None, most: float = LONGEST_MM) -> float:
        """A length above 0 and up to ``most``, in mm."""
        return in_range(self.signed_mm(key, default), *self.shown(key), above=0.0, most=most, unit="mm")

    def signed_mm(self, key: str, default: float | None = None) -> float:
        """A length of either sign, in mm."""
        bare = f"{key}_mm"
        if default is not None and not self.has_length(key):
            return default
        if self.one_of(key, bare) == key:
            return parse_length_mm(self._given[key], self.path(key))
        return parse_length_mm(self._given[bare], self.path(bare), bare_unit="mm")

    def angle_rad(self, key: str, most: float) -> float:
        """An angle above 0 and up to ``most``, in rad."""
        value = parse_angle_rad(self.need(key), self.path(key))
        return in_range(value, *self.shown(key), above=0.0, most=most, unit="rad")

    def number(self, key: str, default: float | None, above: float, most: float, zero: bool = False) -> float:
        """A number above ``above`` (or 0, with ``zero``) and up to ``most``; needed without a default."""
        if default is not None and not self.has(key):
            return default
        value = parse_number(self.need(key), self.path(key))
        if zero and value == 0.0:
            return 0.0
        return in_range(value, *self.shown(key), above=above, most=most)

    def whole(self, key: str, most: int) -> int:
        """A whole number from 1 to ``most``."""
        value = parse_number(self.need(key), self.path(key))
        if not 1 <= value <= most or value != int(value):
            raise InputError(self.path(key), self._given[key], f"a whole number from 1 to {most} is wanted")
        return int(value)

    def flag(self, key: str, default: bool) -> bool:
        """True or false."""
        value = self.get(key, default)
        if not isinstance(value, bool):
            raise InputError(self.path(key), value, "true or false is wanted")
        return value

    def day(self, key: str) -> date:
        """A day, as in ISO 8601."""
        text = self.text(key)
        try:
            return date.fromisoformat(text)
        except ValueError as error:
            wanted = 'a day such as "2026-11-25" is wanted'
            raise InputError(self.path(key), text, wanted) from error

    def part(self, key: str) -> Fields:
        """The mapping under a field."""
        return Fields(self.need(key), self.path(key), self.warnings)

    def part_or_none(self, key: str) -> Fields | None:
        """The mapping under a field, None when it is not given."""
        return self.part(key) if self.has(key) else None

    def lengths(self, key: str) -> tuple[list[Any], str, str | None]:
        """A list given under ``key`` or ``key_mm``: the list, its path, the unit of bare numbers."""
        name = self.one_of(key, f"{key}_mm")
        value = listed(self._given[name], self.path(name))
        return value, self.path(name), None if name == key else "mm"

    def warn(self, sentence: str) -> None:
        """Keep a sentence for the operator."""
        self.warnings.append(sentence)

    def settle(self, key: str, value: Any) -> None:
        """Keep what a field of the document that was left open came to."""
        self.settled[key] = value

    def finish(self) -> None:
        """Raises InputError for the first field that nobody asked for, with the nearest known name."""
        for key, value in self._given.items():
            if key in self._asked:
                continue
            raise InputError(
                self.path(key) or repr(key), value, f"there is no such field{nearest(key, self._asked)}"
            )

    def refuse_misspelt(self, wanted: str) -> None:
        """Raises InputError when a field missing under its name is there under a similar one."""
        for key in self._given:
            if key not in self._asked and get_close_matches(key, [wanted], 1, 0.7):
                raise InputError(
                    self.path(key), self._given[key], f"there is no such field; is '{wanted}' meant?"
                )

    def shown(self, key: str) -> tuple[str, Any]:
        """Path of a length and its value, as given under either of its names."""
        name = key if self.has(key) else f"{key}_mm"
        return self.path(name), self._given.get(name)


def in_range(
    value: float, field: str, shown: Any, above: float, most: float, unit: str | None = None
) -> float:
    """The same value when above < value <= most; ``unit`` says how the bounds are shown.

    Raises InputError otherwise.
    """
    if above < value <= most:
        return value
    low, high = (_bound(bound, unit) for bound in (above, most))
    wanted = f"more than {low} and at most {high} is wanted"
    raise InputError(field, shown, wanted)


def _bound(value: float, unit: str | None) -> str:
    if unit == "mm":
        return format_length(value)
    return format_angle(value) if unit == "rad" else f"{value:g}"


def chosen(value: Any, field: str, options: Mapping[str, Any]) -> str:
    """The text when it is one of ``options``. Raises InputError listing them otherwise."""
    if isinstance(value, str) and value in options:
        return value
    hint = nearest(value, options) if isinstance(value, str) else ""
    raise InputError(field, value, "one of " + ", ".join(options) + f" is wanted{hint}")


def nearest(name: str, known: Mapping[str, Any]) -> str:
    """The end of a sentence proposing the only known name that holds this one, or the nearest; else empty."""
    holding = [one for one in known if name.strip() and name.strip().lower() in one.lower()]
    close = holding if len(holding) == 1 else get_close_matches(name, list(known), 1, 0.6)
    return f"; is '{close[0]}' meant?" if close else ""


def listed(value: Any, field: str, least: int = 1, most: int = 2000) -> list[Any]:
    """The value when it is a list of ``least`` to ``most`` entries. Raises InputError otherwise."""
    if isinstance(value, str | Mapping) or not isinstance(value, Sequence):
        raise InputError(field, value, "a list is wanted")
    if not least <= len(value) <= most:
        raise InputError(field, value, f"{least} to {most} entries are wanted, there are {len(value)}")
    return list(value)


def pair(value: Any, field: str, read: Callable[[Any, str], Any], what: str) -> tuple[Any, Any]:
    """Both entries of a list of two, each read by ``read``; ``what`` names them in the error."""
    if isinstance(value, str | Mapping) or not isinstance(value, Sequence) or len(value) != 2:
        raise InputError(field, value, f"a list of two is wanted: {what}")
    return read(value[0], f"{field}[0]"), read(value[1], f"{field}[1]")
