"""The rules for access that a machine can check, WCAG 2.2 A and AA by axe-core, and pages that are touched."""

from collections.abc import Sequence

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from tests.browser.hands import SIZES

FINGERTIP_PX = 44
"""WCAG 2.2, 2.5.5 Target Size (Enhanced): 44 by 44 CSS px, but for links in a sentence."""
SMALL = """(least) => {
  const pressed = "a, button, summary, input:not([type=hidden]), select, textarea, #drawing .hit";
  const target = (one) => one.closest("label") ?? one.closest(".note:not(.on)") ?? one;
  const words = (one) => one.textContent.trim();
  const inSentence = (one) => getComputedStyle(one).display === "inline" && words(one) !== words(one.parentElement);
  const isShown = (one) => one.checkVisibility({ visibilityProperty: true }) && !one.closest(".unseen, .skip, .defs");
  return [...document.querySelectorAll(pressed)].filter((one) => isShown(one) && !inSentence(one)).flatMap((one) => {
    const { width, height } = target(one).getBoundingClientRect();
    const isSmall = Math.min(width, height) < least - .1;
    return isSmall ? [[one.outerHTML.slice(0, 120), `${width.toFixed(0)} by ${height.toFixed(0)} px`]] : [];
  });
}"""

WCAG = {"runOnly": ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"], "resultTypes": ["violations"]}


def faults(page: Page, leave_out: Sequence[str] = ()) -> list[tuple[str, str]]:
    """Each rule that is broken, with the first thing on the page that breaks it; parts by selector are left out."""
    found = Axe().run(page, context={"exclude": [[part] for part in leave_out]} if leave_out else None, options=WCAG)
    return [(fault["id"], fault["nodes"][0]["html"][:200]) for fault in found.response["violations"]]


def small_targets(page: Page) -> list[tuple[str, str]]:
    """What is smaller than a fingertip, with its size: a field counts with its label, a title with its shut note."""
    return [(html, size) for html, size in page.evaluate(SMALL, FINGERTIP_PX)]


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
