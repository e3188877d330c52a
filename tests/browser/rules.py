"""The rules for access that a machine can check, WCAG 2.2 A and AA by axe-core, and pages that are touched."""

from collections.abc import Sequence

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from tests.browser.hands import SIZES

WCAG = {"runOnly": ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"], "resultTypes": ["violations"]}


def faults(page: Page, leave_out: Sequence[str] = ()) -> list[tuple[str, str]]:
    """Each rule that is broken, with the first thing on the page that breaks it; parts by selector are left out."""
    found = Axe().run(page, context={"exclude": [[part] for part in leave_out]} if leave_out else None, options=WCAG)
    return [(fault["id"], fault["nodes"][0]["html"][:200]) for fault in found.response["violations"]]


def pocket_page(browser: Browser, errors: list[str]) -> Page:
    """A page on a pocket screen under fingers, as `touch_page`, that the browser takes for a telephone's."""
    width, height = SIZES["phone"]
    context = browser.new_context(viewport={"width": width, "height": height}, has_touch=True, is_mobile=True)
    return _listened(context.new_page(), errors)


def touch_page(browser: Browser, size: str, errors: list[str]) -> Page:
    """A page under fingers; what its console and scripts complain of is added to ``errors``."""
    width, height = SIZES[size]
    context = browser.new_context(viewport={"width": width, "height": height}, has_touch=True)
    return _listened(context.new_page(), errors)


def _listened(page: Page, errors: list[str]) -> Page:
    page.on("console", lambda message: errors.append(message.text) if message.type == "error" else None)
    page.on("pageerror", lambda error: errors.append(str(error)))
    return page
