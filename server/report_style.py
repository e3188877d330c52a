"""Styles of the report: one sheet with fonts inside for a file that stands alone, and the heads of printed pages."""

import re
from base64 import b64encode
from functools import cache

from server.paths import STATIC

_SHEETS = ("fonts.css", "look.css", "drawing.css", "print.css")


def sheets_css() -> str:
    """All styles of the report as one text, fonts named by the file."""
    return "\n".join((STATIC / name).read_text(encoding="utf-8") for name in _SHEETS)


@cache
def alone_css() -> str:
    """All styles of the report as one text, with every font inside it."""
    return re.sub(r'url\("(fonts/[^"]+)"\)', _inside, sheets_css())


def _inside(found: re.Match[str]) -> str:
    data = b64encode((STATIC / found[1]).read_bytes()).decode("ascii")
    return f'url("data:font/woff2;base64,{data}")'


def page_css(running: str, foot: str) -> str:
    """The head and foot of every printed page: which room and layout, page of pages, what the findings mean."""
    pages = '"Page " counter(page) " of " counter(pages)'
    return (
        "@page {\n"
        f"  @top-right {{ content: {quoted(running + ' ')} {pages}; }}\n"
        f"  @bottom-left {{ content: {quoted(foot)}; }}\n"
        "}\n"
    )


def quoted(text: str) -> str:
    r"""A text as a CSS string, with everything but letters, digits and plain punctuation written as a number.

    >>> quoted('Loft "A"</style>')
    '"Loft \\22 A\\22 \\3c /style\\3e "'
    """
    return '"' + re.sub(r"[^\w .,:;()/’'–-]", lambda found: f"\\{ord(found[0]):x} ", text) + '"'
