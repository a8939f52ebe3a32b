"""Blocks set under each other, in pages where they do not all fit: nothing needs a swipe."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, Protocol

from kivy.uix.widget import Widget

from shopapp.areas import Area
from shopapp.sizes import GAP_MM
from shopapp.widgets.look import look

COLUMNS_APART_MM = 4.0


class Block(Protocol):
    """A widget that knows how high it is at a width."""

    pos: Any
    size: Any

    def height_for(self, width: float) -> float:
        """Height in pixels."""


class Later:
    """A block that is made when its page is shown first: of a long table most rows never are.

    high : gives its height in pixels at a width; make : gives the block; heading : that of its table,
    which stands over it again where a page begins with it, None for what is no row of a table
    """

    def __init__(
        self, high: Callable[[float], float], make: Callable[[], Block], heading: Later | None = None
    ) -> None:
        self.height_for, self._make, self.heading = high, make, heading
        self._block: Block | None = None

    @property
    def block(self) -> Block:
        """The block itself, the same every time."""
        if self._block is None:
            self._block = self._make()
        return self._block


class Pages(Widget):
    """Blocks from the top down; ``page`` of ``count`` is shown. The key that turns them is the screen's."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._asked = self._shown = 0
        self._wanted: Callable[[Any], bool] | None = None
        self.count = 1

    @property
    def page(self) -> int:
        """The page that is shown, from 0: the one asked for, as far as there are so many. A screen may lay
        its blocks more than once until its keys have their room; what is asked for outlives that."""
        return self._shown

    @page.setter
    def page(self, page: int) -> None:
        self._asked = self._shown = page
        self._wanted = None

    def turn_to(self, wanted: Callable[[Any], bool]) -> None:
        """From the next layout on, until a page is asked for: the page with the first block like this."""
        self._wanted = wanted

    def lay(self, blocks: Sequence[Any], area: Area, columns: int = 1, first_only: bool = False) -> int:
        """Show these blocks in an area, in columns side by side; the answer is the number of pages.

        first_only : what does not fit is left out
        """
        self.pos, self.size = (area.x, area.y), (area.width, area.height)
        places = area.grid(columns, 1, look.px(COLUMNS_APART_MM))
        width = places[0].width
        heights = [block.height_for(width) for block in blocks]
        over = [getattr(block, "heading", None) for block in blocks]
        heads = [0.0 if head is None else head.height_for(width) for head in over]
        stacks = balanced(heights, area.height, look.px(GAP_MM), columns, heads)
        self.count = 1 if first_only else -(-len(stacks) // columns)
        if self._wanted is not None:
            found = (i for i, stack in enumerate(stacks) if any(self._wanted(blocks[k]) for k in stack))
            self._asked = next(found, self._asked * columns) // columns
        self._shown = self._asked % self.count
        first = self._shown * columns
        again = [[over[i] for i in stack[:1] if i and over[i] is not None] for stack in stacks]
        shown = [
            [*map(_made, again[k]), *(_made(blocks[i]) for i in stacks[k])]
            for k in range(first, min(first + columns, len(stacks)))
        ]
        alive = {id(block) for stack in shown for block in stack}
        for child in list(self.children):
            if id(child) not in alive:
                self.remove_widget(child)
        for stack, place in zip(shown, places, strict=False):
            self._stack(stack, place)
        return self.count

    def _stack(self, blocks: Sequence[Any], rest: Area) -> None:
        """Blocks from the top; what is left over, or lacks, goes to the first that can grow, as a drawing."""
        heights = [block.height_for(rest.width) for block in blocks]
        spare = rest.height - sum(heights) - look.px(GAP_MM) * (len(blocks) - 1)
        growing = next((i for i, block in enumerate(blocks) if getattr(block, "grows", False)), None)
        if growing is not None:
            heights[growing] += spare
        for block, high in zip(blocks, heights, strict=True):
            place = rest.top(high, look.px(GAP_MM))
            block.pos, block.size = (place.x, place.y), (place.width, place.height)
            if block.parent is not self:
                if block.parent is not None:
                    block.parent.remove_widget(block)
                self.add_widget(block)

    def turn(self) -> None:
        """The next page; after the last the first."""
        self.page = (self.page + 1) % self.count


def _made(block: Any) -> Any:
    return block.block if isinstance(block, Later) else block


def balanced(
    heights: Sequence[float], room: float, gap: float, columns: int, heads: Sequence[float] = ()
) -> list[list[int]]:
    """As :func:`deal`, but where all blocks fit into the columns of one page those are about equally high."""
    stacks = deal(heights, room, gap, heads)
    if columns < 2 or len(stacks) > columns:
        return stacks
    ends = range(len(heights))
    runs = {sum(heights[i : j + 1]) + gap * (j - i) for i in ends for j in ends[i:]}
    lowest = (run for run in sorted(runs) if run <= room and len(deal(heights, run, gap, heads)) <= columns)
    return deal(heights, next(lowest, room), gap, heads)


def deal(heights: Sequence[float], room: float, gap: float, heads: Sequence[float] = ()) -> list[list[int]]:
    """Which blocks (from 0) stand on which page, so that no page is higher than the room.

    heads : of rows of a table, the height of the heading that stands over one where a page begins with it; 0
    for other blocks. A heading, the block before the first row, is not left alone at the end of a page.
    """
    under = [*(heads or [0.0] * len(heights)), 0.0]
    pages: list[list[int]] = [[]]
    used = 0.0
    for i, high in enumerate(heights):
        leads = not under[i] and under[i + 1] > 0.0
        if pages[-1] and used + high + (gap + heights[i + 1] if leads else 0.0) > room + 1:
            pages.append([])
            used = under[i] + gap if under[i] else 0.0
        pages[-1].append(i)
        used += high + gap
    return pages
