"""A part's record as files in a folder: for the command line, and for the key on the part's screen."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Sequence
from importlib.util import find_spec
from pathlib import Path

import core
from shopapp.cautions import CAUTIONS
from shopapp.filenames import folder_of, stem_of
from shopapp.photos import photos_in

# What is written, by the name that the command line knows it by.
FORMS = {
    "pdf": "the record on paper",
    "card": "the job card for the machine, as PDF",
    "csv": "tables of passes, strokes, readings and checks",
    "json": "the whole record for other programs",
    "log": 'the job with its log, as "gapwright next", check and take read it',
}
REGULAR, BOLD, OTHER = "Roboto-Regular.ttf", "Roboto-Bold.ttf", "DejaVuSans.ttf"


def fonts() -> core.Fonts:
    """Those that Kivy brings, found without opening a window. Raises StoreError where they are not there."""
    found = find_spec("kivy")
    homes = (found.submodule_search_locations or ()) if found is not None else ()
    folder = next((Path(home) / "data" / "fonts" for home in homes), Path("fonts"))
    paths = [folder / name for name in (REGULAR, BOLD, OTHER)]
    for path in paths:
        if not path.exists():
            raise core.StoreError(str(path), "the font that a PDF is set in is missing")
    return core.Fonts(*map(str, paths))


def files_of(record: core.Record, forms: Iterable[str], data: Path) -> dict[str, bytes]:
    """Ending of the file's name and contents of each. data : folder that photos lie in

    Raises InputError where a PDF cannot be made.
    """
    found: dict[str, bytes] = {}
    for form in forms:
        if form == "pdf":
            photos = photos_in(data, (check.photo for check in record.checks if check.photo))
            found["-record.pdf"] = core.record_pdf(record, _cautions_line(), fonts(), photos)
        elif form == "card":
            found["-card.pdf"] = core.card_pdf(record, CAUTIONS, fonts())
        elif form == "csv":
            for table in core.record_tables(record):
                found[f"-{table.name}.csv"] = core.table_csv(table).encode("utf-8")
        elif form == "json":
            found["-record.json"] = (core.record_json(record) + "\n").encode("utf-8")
        else:
            found["-log.json"] = core.write_document(record.document, record.log).encode("utf-8")
    return found


def write_record(
    record: core.Record, folder: Path, stem: str, forms: Iterable[str], data: Path
) -> list[Path]:
    """Write these forms, over what was there; all of them are made before the first is written. data : folder
    that photos lie in

    Raises InputError as :func:`files_of`, OSError where the folder cannot be written.
    """
    files = files_of(record, forms, data)
    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for ending, contents in files.items():
        path = folder / f"{stem}{ending}"
        path.write_bytes(contents)
        written.append(path)
    return written


def keeper(data: Path) -> Callable[[core.Record, str], str]:
    """For the touch app: writes the record of a part into a folder of its own in the shop's data.

    It is given the record and the part's id, and says where. Without the package for PDF the tables and the
    JSON are written, and that is said.
    """

    def keep(record: core.Record, part_id: str) -> str:
        folder = data / "records" / folder_of(record.name, part_id)
        able = find_spec("fpdf") is not None
        forms = [form for form in FORMS if able or form not in ("pdf", "card")]
        try:
            write_record(record, folder, stem_of(record.name), forms, data)
        except OSError as error:
            raise core.StoreError(str(folder), error.strerror or str(error)) from error
        less = "" if able else "; no PDF, for which the package fpdf2 is wanted"
        return f"Record written to {folder}{less}"

    return keep


SET_FORMS: dict[str, Callable[[core.Job, core.SetSummary], bytes]] = {
    "pdf": lambda job, summary: core.set_pdf(job, summary, fonts()),
    "csv": lambda job, summary: core.table_csv(core.set_table(summary)).encode("utf-8"),
    "json": lambda job, summary: json.dumps(core.set_document(summary), allow_nan=False).encode("utf-8"),
}


def write_set(job: core.Job, summary: core.SetSummary, path: Path) -> str:
    """The summary of a set as a file, by the ending of its name; says where. Raises InputError, OSError."""
    form = path.suffix.lower().removeprefix(".")
    if form not in SET_FORMS:
        raise core.InputError("--out", str(path), f"a name that ends in .{', .'.join(SET_FORMS)} is wanted")
    path.write_bytes(SET_FORMS[form](job, summary))
    return f"{path}: set of {len(summary.parts)} parts"


def set_keeper(data: Path) -> Callable[[core.Job, core.SetSummary, str], str]:
    """For the touch app, as :func:`keeper`: the summary of a set in every form, given its id."""

    def keep(job: core.Job, summary: core.SetSummary, set_id: str) -> str:
        folder, stem = data / "records" / f"set-{folder_of(job.name, set_id)}", f"set-{stem_of(job.name)}"
        able = find_spec("fpdf") is not None
        try:
            folder.mkdir(parents=True, exist_ok=True)
            for form in SET_FORMS:
                if able or form != "pdf":
                    write_set(job, summary, folder / f"{stem}.{form}")
        except OSError as error:
            raise core.StoreError(str(folder), error.strerror or str(error)) from error
        less = "" if able else "; no PDF, for which the package fpdf2 is wanted"
        return f"Summary written to {folder}{less}"

    return keep


def records_from(
    names: Sequence[str], read: Callable[[str], core.JobDocument], data: Path
) -> list[core.Record]:
    """The record of each part: a file with a job and its log, "-", or a part of the shop by name or id.

    Raises InputError for a name that is neither, StoreError where the shop cannot be opened.
    """
    kept = [name for name in names if name != "-" and not Path(name).exists()]
    shop = _from_shop(kept, data) if kept else {}
    return [shop[name] if name in shop else _record(read(name)) for name in names]


def _record(document: core.JobDocument, seals: core.Seals | None = None) -> core.Record:
    """With what its seals say of it; seals : None where only the document is at hand."""
    found = seals or core.check_seals(document.job.document, document.events)
    return core.part_record(document.job, document.events, None, [one.what for one in found.broken])


def _from_shop(names: Sequence[str], data: Path) -> dict[str, core.Record]:
    if not data.is_dir():
        raise core.InputError("PART", names[0], f"there is no such file, and no shop in {data}")
    with core.Shop(data) as shop:
        return {name: _part(shop, name) for name in names}


def _part(shop: core.Shop, name: str) -> core.Record:
    cards = [card for card in shop.parts() if name in (card.id, card.name)]
    if not cards:
        raise core.InputError("PART", name, "a file, or the name or id of a part of the shop, is wanted")
    if len(cards) > 1:
        ids = ", ".join(card.id for card in cards)
        raise core.InputError(
            "PART", name, f"{len(cards)} parts have that name; one of their ids is wanted: {ids}"
        )
    part = shop.open(cards[0].id)
    return _record(core.JobDocument(core.job(part.job_document), tuple(part.events)), part.seals)


def _cautions_line() -> str:
    """What has to stand on a record: it judges shape alone, and it is advice."""
    texts = dict(CAUTIONS)
    told = ("Parts that people depend on", "It is advice")
    return " ".join(f"{heading}: {texts[heading]}" for heading in told)
