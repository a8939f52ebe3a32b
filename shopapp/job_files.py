"""Job documents from a folder: each is looked at whole, and taken into the shop whole or not at all."""

from __future__ import annotations

from dataclasses import dataclass

import core

MOST_BYTES = 20_000_000
ENDINGS = ("json",)


@dataclass(frozen=True)
class JobFile:
    """A file that was looked at. document : None where it cannot be taken; wrong : why, in a sentence, with
    the path of the field for who writes such files; error : the same as it was raised, where it was
    """

    name: str
    document: core.JobDocument | None
    wrong: str = ""
    error: core.InputError | None = None


def looked_at(name: str, content: bytes) -> JobFile:
    """What is in a file."""
    try:
        if len(content) > MOST_BYTES:
            raise core.InputError(name, "the file", f"at most {MOST_BYTES} bytes are wanted")
        return JobFile(name, core.read_document(content, field=name))
    except core.InputError as error:
        return JobFile(name, None, str(error).removeprefix(f"{name}: "), error)


def is_there(shop: core.Shop, document: core.JobDocument) -> bool:
    """Whether the shop has this job already, the same to the letter, or with what it left open stated."""
    same = (card for card in shop.parts() if card.name == document.job.name)
    either = (document.job.document, document.job.settled_document)
    return any(shop.open(card.id).job_document in either for card in same)


def take(shop: core.Shop, document: core.JobDocument) -> bool:
    """Take it into the shop with its log, unless the shop has it; whether it was taken. What the job left
    open is stated from then on. Raises StoreError."""
    if is_there(shop, document):
        return False
    shop.import_part(document.begun())
    return True
