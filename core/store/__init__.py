"""The record on disk: a shop of parts, each with a log that only grows.

Made of, from the bottom up: ``lock``, ``disk`` (and its stand-in in memory, ``folder``) for bytes that
survive a crash; ``envelope`` for bytes that tell whether they are whole; ``storage`` for TinyDB on top of
both; ``part``, ``index``, ``settings`` and ``shop`` for what is recorded; ``codec`` for exchange.
"""

from core.store.codec import PartDocument, from_document, to_document
from core.store.damage import Damage
from core.store.folder import SETTINGS, MemoryFolder
from core.store.part import PartCard, PartFile
from core.store.settings import Settings
from core.store.shop import Shop

__all__ = [
    "SETTINGS",
    "Damage",
    "MemoryFolder",
    "PartCard",
    "PartDocument",
    "PartFile",
    "Settings",
    "Shop",
    "from_document",
    "to_document",
]
