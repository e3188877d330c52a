"""Somebody who has never seen Elbowroom: from the first page to the first findings, every deed counted."""

from playwright.sync_api import Locator, Page

MOST_DEEDS = 25
"""A click, a tap or a field is one deed."""


class Newcomer:
    """Counts what the hand does."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.deeds = 0

    def click(self, what: Locator) -> None:
        self.deeds += 1
        what.click()

    def fill(self, label: str, text: str) -> None:
        self.deeds += 1
        self.page.get_by_role("textbox", name=label).fill(text)

    def choose(self, label: str, words: str) -> None:
        self.deeds += 1
        self.page.get_by_label(label).select_option(label=words)


def measured(page: Page, server_url: str) -> Newcomer:
    page.goto(server_url)
    newcomer = Newcomer(page)
    newcomer.click(page.get_by_role("link", name="Measure a room").first)
    newcomer.fill("Wall with the door", "1150")
    newcomer.fill("Away from the door", "700")
    newcomer.fill("Floor to ceiling", "2400")
    newcomer.fill("Door, clear width", "700")
    newcomer.fill("Door, clear height", "1981")
    newcomer.choose("The door opens", "out of the room")
    newcomer.click(page.get_by_text("System boiler"))
    newcomer.click(page.get_by_text("Cylinder, 150 L"))
    newcomer.click(page.get_by_role("button", name="Draw the room"))
    return newcomer


def test_the_first_findings_come_within_25_deeds(page: Page, server_url: str) -> None:
    newcomer = measured(page, server_url)
    page.wait_for_selector("[data-finding]")
    first = newcomer.deeds
    newcomer.click(page.get_by_role("link", name="Open the room"))
    page.wait_for_selector("#workbench[data-ready]")

    assert page.locator(".note[data-finding]").count() > 0
    assert page.locator("[data-piece]").count() == 2
    assert first == 10
    assert newcomer.deeds == 11 <= MOST_DEEDS


def test_the_same_with_a_finger_on_a_phone(page: Page, server_url: str) -> None:
    page.set_viewport_size({"width": 390, "height": 844})
    newcomer = measured(page, server_url)
    page.wait_for_selector("[data-finding]")

    assert newcomer.deeds <= MOST_DEEDS
    assert page.evaluate("() => document.documentElement.scrollWidth <= window.innerWidth")
