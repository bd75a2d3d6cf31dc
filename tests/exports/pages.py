"""PDFs as somebody sees them: rendered, read, and their codes decoded."""

import cv2
import numpy as np
import pypdfium2
from numpy.typing import NDArray

from cureclock.exports.label_sheets import LabelSheet

DPI = 300  # an ordinary printer
POINTS = 72
MM = 25.4


def rendered(pdf: bytes) -> list[NDArray[np.uint8]]:
    """Its pages in grey, as an ordinary printer lays them down."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        pages = [page.render(scale=DPI / POINTS, grayscale=True).to_numpy() for page in document]
        return [np.array(page).reshape(page.shape[:2]) for page in pages]
    finally:
        document.close()


def words(pdf: bytes) -> str:
    """The words of all its pages."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        return "\n".join(page.get_textpage().get_text_bounded() for page in document)
    finally:
        document.close()


def sizes_mm(pdf: bytes) -> list[tuple[float, float]]:
    """The sizes of its pages."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        sizes = [page.get_size() for page in document]
        return [(round(w / POINTS * MM, 1), round(h / POINTS * MM, 1)) for w, h in sizes]
    finally:
        document.close()


def part(
    page: NDArray[np.uint8], x: float, y: float, width: float, height: float
) -> NDArray[np.uint8]:
    """A part of a page by its lower left corner and size, in millimetres."""
    dot = DPI / MM
    top = page.shape[0] - round((y + height) * dot)
    left = round(x * dot)
    return page[max(top, 0) : top + round(height * dot), max(left, 0) : left + round(width * dot)]


def links(pdf: bytes, labels: LabelSheet) -> list[str]:
    """What the codes of a sheet of labels say, label by label; nothing for an empty label."""
    size = (labels.width_mm, labels.height_mm)
    return [decoded(part(page, x, y, *size)) for page in rendered(pdf) for x, y in labels.corners()]


def decoded(picture: NDArray[np.uint8]) -> str:
    """What the code in a picture says; looked at from two distances, as somebody holds a phone."""
    if picture.min() == 255:
        return ""  # nothing is printed there
    for nearer in (1, 2):
        seen = cv2.resize(picture, None, fx=nearer, fy=nearer, interpolation=cv2.INTER_CUBIC)
        said, _, _ = cv2.QRCodeDetector().detectAndDecode(seen)
        if said:
            return str(said)
    return ""
