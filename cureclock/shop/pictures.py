"""Pictures as they are kept: upright, small, without a word of where or by what they were taken."""

import hashlib
import io
import warnings
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import UUID

from cureclock.shop.refusals import Refusal

if TYPE_CHECKING:
    from PIL.Image import Image

MOST_BYTES = 16 * 2**20  # of what is sent; our choice
MOST_PIXELS = 60_000_000  # a phone of today takes 50 million; more is a bomb or no phone
SIDE = 1600  # pixels of the longer side as it is kept
QUALITY = 82
KINDS = ("JPEG", "PNG", "WEBP")
MEND = "send a JPEG, PNG or WebP, as a phone's camera makes it"


@dataclass(frozen=True)
class Picture:
    """A picture as it is kept."""

    jpeg: bytes
    width: int
    height: int

    @property
    def digest(self) -> str:
        """SHA-256 of the file."""
        return hashlib.sha256(self.jpeg).hexdigest()


def made_small(sent: bytes) -> Picture:
    """A picture out of what was sent, drawn anew: nothing of the file itself is kept.

    Raises:
        Refusal: too large, too many pixels for its bytes or at all, or no picture.
    """
    from PIL import Image as Images  # noqa: PLC0415 - heavy
    from PIL import ImageOps  # noqa: PLC0415

    if len(sent) > MOST_BYTES:
        raise Refusal(
            "picture", f"is larger than {MOST_BYTES // 2**20} MB", "send it smaller", "too_big"
        )
    try:
        with warnings.catch_warnings(), Images.open(io.BytesIO(sent), formats=KINDS) as image:
            warnings.simplefilter("error")
            # Asked before a single pixel is unpacked.
            if image.width * image.height > MOST_PIXELS:
                raise Refusal("picture", "has too many pixels", "send it smaller", "too_big")
            image.draft("RGB", (2 * SIDE, 2 * SIDE))
            upright = ImageOps.exif_transpose(image)
            flat = _on_white(upright)
            flat.thumbnail((SIDE, SIDE))
            out = io.BytesIO()
            Images.frombytes("RGB", flat.size, flat.tobytes()).save(out, "JPEG", quality=QUALITY)
            return Picture(out.getvalue(), *flat.size)
    except Refusal:
        raise
    except (Images.DecompressionBombError, Images.DecompressionBombWarning) as error:
        raise Refusal("picture", "has too many pixels", "send it smaller", "too_big") from error
    except Exception as error:  # whatever a spoilt file makes its reader stumble over
        raise Refusal("picture", "is no picture that can be read", MEND) from error


def _on_white(image: "Image") -> "Image":
    """Without its see-through parts, which a JPEG cannot keep."""
    from PIL import Image as Images  # noqa: PLC0415

    if "A" not in image.getbands() and "transparency" not in image.info:
        return image.convert("RGB")
    clear = image.convert("RGBA")
    sheet = Images.new("RGBA", clear.size, "white")
    return Images.alpha_composite(sheet, clear).convert("RGB")


def path_of(folder: Path, ident: UUID) -> Path:
    """Where a picture lies: by its id, so that no name that was sent is ever a path."""
    return folder / ident.hex[:2] / f"{ident.hex}.jpg"
