"""A part's template in true size as files in a folder, for the key on the part's screen."""

from __future__ import annotations

from collections.abc import Callable
from importlib.util import find_spec
from pathlib import Path

import core
from shopapp.filenames import folder_of, stem_of

PACKAGES = {"svg": "", "dxf": "ezdxf", "pdf": "fpdf"}
"""form -> module that makes it"""


def sides_of(job: core.Job) -> dict[str, core.Drawing]:
    """The template for each side of the metal that it can be drawn for. Raises InputError for none."""
    found, why = {}, None
    for side in core.SIDES:
        try:
            found[side] = core.template_drawing(job, side)
        except core.InputError as error:
            why = why or error
    if not found and why is not None:
        raise why
    return found


def files_of(job: core.Job, forms: tuple[str, ...]) -> dict[str, bytes]:
    """Ending of the file's name and contents of each, for both sides; a PDF for each size of sheet."""
    files = {}
    for side, drawing in sides_of(job).items():
        for form in forms:
            for sheet in core.SHEETS if form == "pdf" else ("",):
                ending = f"-{side}-{sheet}.{form}" if sheet else f"-{side}.{form}"
                files[ending] = core.drawing_bytes(drawing, form, sheet or "A4")
    return files


def keeper(data: Path) -> Callable[[core.Job, str], str]:
    """For the touch app: draws the template of a part into a folder of its own in the shop's data.

    It is given the job and the part's id, and says where. Without the packages for DXF and PDF the SVG is
    drawn, and that is said.
    """

    def keep(job: core.Job, part_id: str) -> str:
        folder = data / "templates" / folder_of(job.name, part_id)
        lacks = [form for form, package in PACKAGES.items() if package and find_spec(package) is None]
        files = files_of(job, tuple(form for form in PACKAGES if form not in lacks))
        try:
            folder.mkdir(parents=True, exist_ok=True)
            for ending, contents in files.items():
                (folder / f"{stem_of(job.name)}{ending}").write_bytes(contents)
        except OSError as error:
            raise core.StoreError(str(folder), error.strerror or str(error)) from error
        less = f"; no {' and no '.join(map(str.upper, lacks))}: pip install 'gapwright[drawings]'"
        return f"Template drawn to {folder}{less if lacks else ''}"

    return keep
