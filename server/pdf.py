"""A report as a PDF, by an engine inside the program. It fetches nothing: styles are in the text, fonts in our folder.

The engine has no wheel for every machine. Where it is missing the browser's own print makes the same pages.
"""

import logging
import re
from functools import cache
from importlib.util import find_spec
from io import BytesIO
from typing import TYPE_CHECKING

from server.paths import STATIC
from server.report_style import sheets_css

if TYPE_CHECKING:
    import plutoprint

NAME = "plutoprint"
FONT = re.compile(r"^http://fonts\.invalid/(fonts/[a-z0-9-]+\.woff2)$")
MISSING = (
    "No PDF can be made on this machine: the engine for it is not offered here. Open the report in a browser, print it"
    " at actual size and choose “save as PDF”; or write it as HTML, with a name that ends in .html, and print that."
)
PLAIN = 'font-feature-settings: "liga" 0, "clig" 0, "dlig" 0, "calt" 0, "lnum" 0, "tnum" 0;'
ITS_WAYS = f"""
.rep svg text.halo {{ stroke: none; }}
.rep, .rep * {{ font-variant-ligatures: none; font-variant-numeric: normal; {PLAIN} }}
@page {{ @top-left {{ {PLAIN} }} @top-right {{ {PLAIN} }} @bottom-left {{ {PLAIN} }} }}
"""
"""The engine paints the stroke of a letter over its fill whatever the order asked for, so letters go without a halo;
and a letter that stands for two, or a figure in its other shape, cannot be found in its text, so there are none."""
log = logging.getLogger(__name__)


class NoEngine(RuntimeError):
    """The engine is not installed, or not made for this machine."""


def has_engine() -> bool:
    """Whether PDFs can be made here."""
    return find_spec(NAME) is not None


@cache
def engine_css() -> str:
    """All styles of the report, fonts named by addresses that only our own fetcher knows.

    The engine reads these fonts but skips a source that names its format, so the name of the format is left out.
    """
    named = re.sub(r'url\("(fonts/[^"]+)"\) format\("woff2"\)', r'url("http://fonts.invalid/\1")', sheets_css())
    return named + ITS_WAYS


def font_of(url: str) -> bytes:
    """The font that an address of ours names.

    Raises
    ------
    ValueError
        Anything else: no file of the machine and nothing from the network is ever fetched.
    """
    found = FONT.match(url)
    if found is None:
        raise ValueError(f"The report asks for {url[:80]}, which is not part of it.")
    return (STATIC / found[1]).read_bytes()


@cache
def _kept_font(url: str) -> "plutoprint.ResourceData":
    """A font for the engine, never let go of: it frees its own when Python has ended already, which ends in a crash."""
    import plutoprint

    return plutoprint.ResourceData(font_of(url), "font/woff2")


def pdf_of(html: str) -> bytes:
    """A whole report as a PDF.

    Raises
    ------
    NoEngine
        No PDF can be made on this machine.
    """
    if not has_engine():
        raise NoEngine(MISSING)
    import plutoprint

    class OurFonts(plutoprint.ResourceFetcher):
        def fetch_url(self, url: str) -> plutoprint.ResourceData:
            try:
                return _kept_font(url)
            except ValueError as error:
                log.warning("%s", error)
                raise

    book = plutoprint.Book(plutoprint.PAGE_SIZE_A4, plutoprint.PAGE_MARGINS_NONE, plutoprint.MEDIA_TYPE_PRINT)
    book.custom_resource_fetcher = OurFonts()
    book.load_html(html)
    made = BytesIO()
    book.write_to_pdf_stream(made)
    return made.getvalue()
