"""The record on disk: a shop of parts, each with a log that only grows.

Made of, from the bottom up: ``lock``, ``disk`` (and its stand-in in memory, ``folder``) for bytes that
survive a crash; ``envelope`` for bytes that tell whether they are whole; ``seals`` for a log that tells what
was changed in it; ``storage`` for TinyDB over such bytes; ``part``, ``index``, ``settings`` and ``shop`` for
what is recorded; ``codec`` for exchange.
"""

from core.store.codec import PartDocument, from_document, to_document
from core.store.damage import Damage
from core.store.folder import SETTINGS, MemoryFolder
from core.store.part import PartCard, PartFile
from core.store.seals import Broken, Seals, check_seals, short_seal
from core.store.settings import Settings
from core.store.shop import Shop

__all__ = [
    "SETTINGS",
    "Broken",
    "Damage",
    "MemoryFolder",
    "PartCard",
    "PartDocument",
    "PartFile",
    "Seals",
    "Settings",
    "Shop",
    "check_seals",
    "from_document",
    "short_seal",
    "to_document",
]
