"""All keys of a screen in one grid of cells that are at least as large as a thumb in a glove."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kivy.uix.widget import Widget

from shopapp.areas import Area, fitting
from shopapp.presenters.pieces import Key as KeyData
from shopapp.sizes import GAP_MM, KEY_MM, NUMBER_KEY_MM
from shopapp.widgets.grid import MORE, Cell, arrange, rows_needed
from shopapp.widgets.key import Key
from shopapp.widgets.look import look

PICTURES = {
    "undo": "undo", "erase": "erase", "back": "back",
    "pacer": "start", "stop": "stop", "seated": "together",
}  # fmt: skip
"""Name of a key to the picture on it"""

ENTER, PAD_ROWS, PAD_COLUMNS, BESIDE_FROM, FEWEST_COLUMNS = "enter", 4, 3, 7, 4
NUMBERED = ("leaf", "digit", "letter")
"""Keys that enter numbers or letters: their text is large, and they take one cell"""


class KeyBlock(Widget):
    """Dispatches ``on_key`` with the name of the key touched, ``on_why`` with why a key is off."""

    __events__ = ("on_key", "on_why")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.data: tuple[KeyData, ...] = ()
        self.page = 0
        self._keys: list[Key] = []
        self._cells: list[list[Cell]] = []
        self._pinned: tuple[str, ...] = ()
        self._main: tuple[int, int] | None = None

    def on_key(self, name: str) -> None:
        """A key was touched."""

    def on_why(self, why: str) -> None:
        """A key that is off was touched."""

    def rows_for(self, data: Sequence[KeyData], width: float, main_span: int = 0) -> int:
        """Rows that show all of these keys at once. main_span : columns of the main key (0: as usual)."""
        columns = fitting(width, look.px(NUMBER_KEY_MM), look.px(GAP_MM))
        main = next((k for k in data if k.main), None)
        spans = [_span(k, columns, self._cell(width, columns)) for k in data if k is not main]
        if main is None:
            return rows_needed(spans, columns)
        beside = columns >= BESIDE_FROM and not main_span
        if beside and rows_needed(spans, columns, _main_span(columns, 1)) == 1:
            return 1
        return rows_needed(spans, columns, main_span or columns)

    def height_of(self, rows: int) -> float:
        """Height in pixels of so many rows."""
        return rows * look.px(NUMBER_KEY_MM) + (rows - 1) * look.px(GAP_MM)

    def lay(
        self,
        data: Sequence[KeyData],
        area: Area,
        pinned: Sequence[str] = ("undo",),
        main: tuple[int, int] | None = None,
    ) -> None:
        """Show these keys in an area, at least one row high.

        pinned : verbs of the keys that are on every page;
        main : columns and rows of the main key (None: as usual)
        """
        self._pinned, self._main = tuple(pinned), main
        names = tuple(k.name for k in data)
        if names != tuple(k.name for k in self.data):
            self.page = 0
        self.data = tuple(data)
        self.pos, self.size = (area.x, area.y), (area.width, area.height)
        # on a screen smaller than any that we lay out for, keys get smaller rather than lost
        columns = max(FEWEST_COLUMNS, fitting(area.width, look.px(NUMBER_KEY_MM), look.px(GAP_MM)))
        rows, foot = self.at_the_foot(data, area, main)
        self._show(columns if main else self._pad_columns(data, columns, rows), rows, foot)

    def _pad_columns(self, data: Sequence[KeyData], columns: int, rows: int) -> int:
        """Columns that a pad of digits takes: as few, so as large ones, as hold all of its keys."""
        digits = sum(k.name.startswith("digit:") for k in data)
        if not digits or rows <= PAD_ROWS:
            return columns
        beside = len(data) - digits - any(k.main for k in data)
        needed = PAD_COLUMNS + -(-beside // (rows - 1))
        return min(columns, max(FEWEST_COLUMNS, needed))

    def at_the_foot(
        self, data: Sequence[KeyData], area: Area, main: tuple[int, int] | None = None
    ) -> tuple[int, Area]:
        """Rows that these keys take when laid out in an area, and what they take of it: its foot, where all
        of them fit into fewer rows than it has."""
        area, gap = area.all_of_it(), look.px(GAP_MM)
        rows = fitting(area.height, look.px(KEY_MM), gap) if data else 0
        rows = min(rows, fitting(area.height, look.px(NUMBER_KEY_MM), gap))
        span, high = main or (0, 1)
        if not rows or high > 1 or any(k.name.startswith("digit:") for k in data):
            return rows, area
        needed = min(rows, self.rows_for(data, area.width, span))
        return needed, area.bottom((area.height + gap) * needed / rows - gap)

    def _show(self, columns: int, rows: int, area: Area) -> None:
        gap = look.px(GAP_MM)
        if not self.data:
            self._use(0)
            return
        cell = self._cell(area.width, columns)
        spans = [_span(k, columns, cell) for k in self.data]
        main = _main_of(self.data)
        pinned = [i for i, k in enumerate(self.data) if k.name.split(":")[0] in self._pinned and i != main]
        pad = _pad_places(self.data) if rows >= PAD_ROWS else {}
        span, high = self._main or (_main_span(columns, rows), 1)
        self._cells = pages = _arranged(spans, columns, rows, main, (span, high), pinned, pad)
        self.page %= len(pages)
        cells = pages[self.page]
        grid = area.grid(columns, rows, gap)
        keys = self._use(len(cells))
        for key, place in zip(keys, cells, strict=True):
            first = grid[place.row * columns + place.column]
            key.pos = (first.x, first.y - (place.high - 1) * (first.height + gap))
            high = place.high * first.height + (place.high - 1) * gap
            key.size = (place.span * first.width + (place.span - 1) * gap, high)
            if place.key == MORE:
                _fill(key, KeyData(MORE, f"Keys {self.page + 1}\u00a0of\u00a0{len(pages)}"))
            else:
                _fill(key, self.data[int(place.key)])

    def lay_even(self, data: Sequence[KeyData], area: Area, across: int) -> None:
        """Show all of these keys, so many beside each other, all of one size."""
        self.pos, self.size = (area.x, area.y), (area.width, area.height)
        self.show_even(data, area, across)

    def show_even(self, data: Sequence[KeyData], area: Area, across: int) -> None:
        """The same in an area of the block."""
        self.data, self.page, self._cells = tuple(data), 0, []
        rows = -(-len(data) // across)
        cells = area.grid(across, rows, look.px(GAP_MM))
        for key, entry, cell in zip(self._use(len(data)), data, cells, strict=False):
            key.pos, key.size = (cell.x, cell.y), (cell.width, cell.height)
            _fill(key, entry)

    def turn_to(self, name: str) -> None:
        """Show the page that holds a key."""
        for page, cells in enumerate(self._cells):
            if any(c.key != MORE and self.data[int(c.key)].name == name for c in cells):
                self.page = page
        self._again()

    def _again(self) -> None:
        self.lay(self.data, Area(self.x, self.y, self.width, self.height), self._pinned, self._main)

    def _use(self, count: int) -> list[Key]:
        """So many key widgets, made once and used again."""
        while len(self._keys) < count:
            key = Key()
            key.bind(on_touched=self._touched)
            self._keys.append(key)
        for i, key in enumerate(self._keys):
            if i < count and key.parent is None:
                self.add_widget(key)
            elif i >= count and key.parent is not None:
                self.remove_widget(key)
        return self._keys[:count]

    def _touched(self, key: Key) -> None:
        if key.name == MORE:
            self.page += 1
            self._again()
        elif key.enabled:
            self.dispatch("on_key", key.name)
        else:
            self.dispatch("on_why", key.why or f"{key.text}: not now")

    def _cell(self, width: float, columns: int) -> float:
        gap = look.px(GAP_MM)
        return (width - gap * (columns - 1)) / columns


def _main_of(data: Sequence[KeyData]) -> int | None:
    """Index of the main key; that of Enter where no key is the main one."""
    mains = [i for i, k in enumerate(data) if k.main] or [i for i, k in enumerate(data) if k.name == ENTER]
    return mains[0] if mains else None


def _main_span(columns: int, rows: int) -> int:
    """Columns of the main key: the whole row where there are several, else a third of it."""
    return columns if rows > 1 or columns < BESIDE_FROM else max(3, columns // 3)


def _arranged(
    spans: Sequence[int],
    columns: int,
    rows: int,
    main: int | None,
    size: tuple[int, int],
    pinned: Sequence[int],
    pad: dict[int, tuple[int, int]],
) -> list[list[Cell]]:
    """Pages of cells, the main key narrower where it would leave no room for the others."""
    for span in range(size[0], 1, -1):
        try:
            return arrange(spans, columns, rows, main, span, size[1], pinned, pad)
        except ValueError:  # no room beside a main key of this width
            continue
    return arrange(spans, columns, rows, main, 1, size[1], pinned, pad)


def _pad_places(data: Sequence[KeyData]) -> dict[int, tuple[int, int]]:
    """Row and column of each digit, as on a desk calculator whatever the width of the block."""
    digits = [i for i, k in enumerate(data) if k.name.startswith("digit:")]
    return {i: divmod(at, PAD_COLUMNS) for at, i in enumerate(digits)}


def _span(data: KeyData, columns: int, cell: float) -> int:
    """Columns that the text wants in two lines; three where the key is one cell wide."""
    if data.name.split(":")[0] in NUMBERED:
        return 1
    probe = _probe(data)
    for span in range(1, columns + 1):
        width = span * cell + (span - 1) * look.px(GAP_MM)
        if probe.natural_width(2) <= width:
            return span
    return columns


_PROBE: list[Key] = []


def _probe(data: KeyData) -> Key:
    """A key that is never shown, to ask for widths."""
    if not _PROBE:
        _PROBE.append(Key())
    _PROBE[0].text = data.text
    return _PROBE[0]


def _fill(key: Key, data: KeyData) -> None:
    verb = data.name.split(":")[0]
    key.name, key.why = data.name, data.why
    key.number = verb in NUMBERED
    key.main = data.main
    key.chosen, key.enabled = data.chosen, data.enabled
    key.icon = PICTURES.get(verb, "")
    key.text = data.text
