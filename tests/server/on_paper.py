"""A PDF read back page by page: its words, its letters' fonts, and how large everything drawn on it is.

A point is 1/72 inch, an inch 25.4 mm (ISO 32000, user space).
"""

import re
from collections.abc import Iterator
from ctypes import c_float, create_string_buffer
from dataclasses import dataclass

import pypdfium2
from pypdfium2 import raw

MM = 25.4 / 72
WIDE_MM, HIGH_MM = 210.0, 297.0


@dataclass(frozen=True)
class Sheet:
    """One page: its text, the fonts used on it, letters without a meaning, and boxes (left, top, width, height) in mm.

    ``inked`` are the boxes of all that is drawn or written between head and foot.
    """

    text: str
    fonts: frozenset[str]
    unread: int
    drawn: list[tuple[float, float, float, float]]
    inked: list[tuple[float, float, float, float]]

    @property
    def filled(self) -> float:
        """How much of the height between head and foot is used, 0 to 1."""
        return (max((top + high for _, top, _, high in self.inked), default=TOP_MM) - TOP_MM) / (FOOT_MM - TOP_MM)


TOP_MM, FOOT_MM = 25.0, HIGH_MM - 23.0


def sheets(pdf: bytes) -> list[Sheet]:
    """Every page of a PDF."""
    with pypdfium2.PdfDocument(pdf) as book:
        return [_sheet(page) for page in book]


def _sheet(page: pypdfium2.PdfPage) -> Sheet:
    letters = page.get_textpage()
    text = re.sub(r"\s+", " ", letters.get_text_bounded())
    wrong = (raw.FPDFText_HasUnicodeMapError, raw.FPDFText_GetUnicode)
    unread = sum(wrong[0](letters, i) == 1 or wrong[1](letters, i) in (0, 0xFFFD) for i in range(letters.count_chars()))
    written = list(page.get_objects(filter=[raw.FPDF_PAGEOBJ_TEXT]))
    paths = [_box(list(_points(one))) for one in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH])]
    boxes = [_box([(x0, y0), (x1, y1)]) for x0, y0, x1, y1 in (one.get_bounds() for one in written)]
    inside = [box for box in (*paths, *boxes) if box[1] > TOP_MM - 1 and box[1] + box[3] < FOOT_MM + 1]
    return Sheet(text, frozenset(map(_font, written)), unread, paths, [box for box in inside if box[3] < 200])


def _points(path: pypdfium2.PdfObject) -> Iterator[tuple[float, float]]:
    matrix = path.get_matrix()
    for number in range(raw.FPDFPath_CountSegments(path)):
        x, y = c_float(), c_float()
        raw.FPDFPathSegment_GetPoint(raw.FPDFPath_GetPathSegment(path, number), x, y)
        yield matrix.on_point(x.value, y.value)


def _box(points: list[tuple[float, float]]) -> tuple[float, float, float, float]:
    xs, ys = zip(*points, strict=True)
    return min(xs) * MM, HIGH_MM - max(ys) * MM, (max(xs) - min(xs)) * MM, (max(ys) - min(ys)) * MM


def _font(written: pypdfium2.PdfObject) -> str:
    name = create_string_buffer(128)
    raw.FPDFFont_GetBaseFontName(raw.FPDFTextObj_GetFont(written), name, 128)
    return name.value.decode()
