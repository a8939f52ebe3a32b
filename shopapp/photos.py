"""Photos below the shop's data, as paper takes them: upright, no finer than is seen there, JPEG."""

from __future__ import annotations

import io
from collections.abc import Iterable
from pathlib import Path

MOST_BYTES = 50_000_000
MOST_PX = (720, 500)  # 90 mm by 62 mm at about 200 dots an inch: shows a scratch and keeps the file small
QUALITY = 85  # of the JPEG, of 100


def photos_in(data: Path, names: Iterable[str]) -> dict[str, bytes]:
    """Those that are there and can be read, by name, relative to the data folder."""
    found = {}
    for name in sorted(set(names)):
        try:
            with (data / name).open("rb") as file:
                picture = _for_paper(file.read(MOST_BYTES))
        except OSError:  # the record says that it is not at hand
            continue
        if picture:
            found[name] = picture
    return found


def _for_paper(content: bytes) -> bytes:
    """Turned as the camera says; b"" where it is no picture."""
    from PIL import Image, ImageOps

    try:
        with Image.open(io.BytesIO(content)) as read:
            upright = ImageOps.exif_transpose(read).convert("RGB")
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError):
        return b""
    upright.thumbnail(MOST_PX)
    out = io.BytesIO()
    upright.save(out, "JPEG", quality=QUALITY)
    return out.getvalue()
