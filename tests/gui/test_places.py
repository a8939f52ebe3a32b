"""Where things go: cutting rectangles, keys in a grid, stations in a strip."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopapp.areas import LOW, TALL, WIDE, Area, fitting, shape_of
from shopapp.widgets.cells import cells_for, x_along
from shopapp.widgets.grid import MORE, Cell, arrange, rows_needed
from shopapp.widgets.pages import balanced, deal


def test_cutting_leaves_the_rest() -> None:
    """A piece from each side, with its gap; nothing is lost."""
    area = Area(0, 0, 100, 50)
    assert area.top(10, 2) == Area(0, 40, 100, 10)
    assert area.bottom(8) == Area(0, 0, 100, 8)
    assert area.left(30, 5) == Area(0, 8, 30, 30)
    assert area.right(20) == Area(80, 8, 20, 30)
    assert area == Area(35, 8, 45, 30)
    assert area.top(99) == Area(35, 8, 45, 30)
    assert area.height == 0


def test_a_grid_fills_its_area() -> None:
    """Cells from the top left, gaps between."""
    cells = Area(0, 0, 86, 42).grid(4, 2, 2)
    assert cells[0] == Area(0, 22, 20, 20)
    assert cells[-1] == Area(66, 0, 20, 20)
    assert fitting(86, 20, 2) == 4
    assert fitting(85.9, 20, 2) == 3


@pytest.mark.parametrize(
    ("width_mm", "height_mm", "shape"),
    [(153, 90, LOW), (90, 153, TALL), (218, 136, WIDE), (136, 218, TALL), (286, 179, WIDE)],
)
def test_shapes_of_tablets(width_mm: float, height_mm: float, shape: str) -> None:
    """7, 10 and 13 inch, both ways."""
    assert shape_of(width_mm, height_mm) == shape


def test_main_key_takes_the_last_row_of_a_narrow_block() -> None:
    """Three small keys above, the main one below them."""
    assert rows_needed([1, 1, 1], 4, 4) == 2
    page = arrange([1, 1, 1, 1], 4, 2, main=3, main_span=4)
    assert page == [[Cell(0, 0, 0, 2), Cell(1, 0, 2, 1), Cell(2, 0, 3, 1), Cell(3, 1, 0, 4)]]


def test_keys_that_do_not_fit_go_on_further_pages() -> None:
    """Every page leads on; pinned keys are on all of them, at one place."""
    pages = arrange([1] * 12, 4, 2, main=11, main_span=2, pinned=[0])
    assert len(pages) == 3
    for page in pages:
        keys = {cell.key: cell for cell in page}
        assert keys[0] == Cell(0, 0, 0, 1)
        assert keys[11] == Cell(11, 1, 2, 2)
        assert keys[MORE] == Cell(MORE, 1, 1, 1)
    shown = [cell.key for page in pages for cell in page if cell.key not in (0, 11, MORE)]
    assert shown == list(range(1, 11))


def test_digits_keep_their_places() -> None:
    """Placed keys are where they are said to be, on the first page alone."""
    placed = {i: divmod(i, 3) for i in range(12)}
    pages = arrange([1] * 16, 4, 4, main=15, main_span=1, main_high=2, placed=placed)
    assert {c.key: (c.row, c.column) for c in pages[0] if c.key in placed} == placed
    assert next(c for c in pages[0] if c.key == 15) == Cell(15, 2, 3, 1, 2)
    assert all(c.key not in placed for page in pages[1:] for c in page)


def test_a_page_without_room_says_so() -> None:
    """One column cannot hold the main key, a way on, and anything else."""
    with pytest.raises(ValueError, match="room"):
        arrange([1, 1, 1], 1, 1, main=0, main_span=1)


@given(
    st.lists(st.integers(1, 3), min_size=1, max_size=30),
    st.integers(4, 9),
    st.integers(2, 6),
    st.booleans(),
)
def test_no_key_is_lost_or_covered(spans: list[int], columns: int, rows: int, with_main: bool) -> None:
    """Each key is on some page, wide enough or as wide as a row; no two cells of a page share a place."""
    main = len(spans) - 1 if with_main else None
    pages = arrange(spans, columns, rows, main, 3 if with_main else 0)
    seen = {cell.key for page in pages for cell in page} - {MORE}
    assert seen == set(range(len(spans)))
    for page in pages:
        taken = [
            (cell.row + r, cell.column + c)
            for cell in page
            for r in range(cell.high)
            for c in range(cell.span)
        ]
        assert len(taken) == len(set(taken))
        assert all(0 <= r < rows and 0 <= c < columns for r, c in taken)
        assert all(cell.span >= min(spans[int(cell.key)], 3) for cell in page if cell.key not in (MORE, main))


@given(st.integers(1, 300), st.floats(60, 2000), st.floats(1, 120), st.data())
def test_windows_hold_the_station_in_focus(
    n: int, width: float, narrowest: float, data: st.DataObject
) -> None:
    """The focus is shown, cells are as wide as asked, and touching a cell's middle finds its station."""
    focus = data.draw(st.integers(0, n - 1))
    cells = cells_for(n, 0.0, width, narrowest, focus, 1.3)
    assert focus in cells.stations
    assert cells.first >= 0 and cells.first + cells.count <= n
    assert cells.count == 1 or cells.pitch() >= narrowest - 1e-6
    assert cells.edges[-1] == pytest.approx(width)
    for station in cells.stations:
        assert cells.at(cells.middle(station)) == station


def test_the_marker_runs_through_the_stations() -> None:
    """At a station's place it is amid its cell; at the ends it is at the edges."""
    position = (20.0, 60.0, 100.0)
    cells = cells_for(3, 0.0, 300.0, 10.0)
    assert [x_along(cells, position, 120.0, p) for p in position] == [50.0, 150.0, 250.0]
    assert x_along(cells, position, 120.0, 0.0) == 0.0
    assert x_along(cells, position, 120.0, 120.0) == 300.0
    assert x_along(cells, position, 120.0, 40.0) == pytest.approx(100.0)
    assert x_along(cells_for(3, 0.0, 100.0, 60.0, 0), position, 120.0, 100.0) is None


def test_pages_deal_blocks_without_cutting_them() -> None:
    """A page is full before the next begins; a block higher than a page stands alone."""
    assert deal([10, 10, 10], 22, 2) == [[0, 1], [2]]
    assert deal([50, 10], 22, 2) == [[0], [1]]
    assert deal([], 22, 2) == [[]]
    for one, other in combinations(deal([7] * 20, 30, 1), 2):
        assert not set(one) & set(other)


def test_a_row_that_begins_a_page_has_its_heading_over_it_again() -> None:
    """Its height counts, and no heading is left alone at the end of a page."""
    heads = [0, 0, 5, 5, 5, 0]
    assert deal([10, 5, 10, 10, 10, 5], 30, 1, heads) == [[0, 1, 2], [3, 4], [5]]
    assert deal([10, 5, 10, 10, 10, 5], 20, 1, heads) == [[0], [1, 2], [3], [4], [5]]


def test_columns_of_one_page_are_about_equally_high() -> None:
    """Four like blocks stand two by two; what does not fit into the columns is dealt as ever."""
    assert balanced([20] * 4, 120, 2, 2) == [[0, 1], [2, 3]]
    assert balanced([20] * 3, 120, 2, 2) == [[0, 1], [2]]
    assert balanced([60, 10, 10, 10], 120, 2, 2) == [[0], [1, 2, 3]]
    assert balanced([20] * 4, 120, 2, 1) == deal([20] * 4, 120, 2)
    assert balanced([20] * 9, 50, 2, 2) == deal([20] * 9, 50, 2)
    assert balanced([], 50, 2, 2) == [[]]


def test_keys_without_a_main_one_reach_the_right_edge() -> None:
    """Three keys in thirteen columns share all of them."""
    (page,) = arrange([1, 1, 1], 13, 1)
    assert max(cell.column + cell.span for cell in page) == 13
