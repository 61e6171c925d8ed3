"""A person at the page of a correction desk."""

from __future__ import annotations

from dataclasses import dataclass, field

from playwright.sync_api import Locator, Page


@dataclass
class Hand:
    """A person at the page: each key pressed and each click counts one, a word typed as many as it has letters."""

    page: Page
    strokes: int = 0
    log: list[str] = field(default_factory=list)

    def press(self, *keys: str) -> None:
        """Press keys, one after another."""
        for key in keys:
            self.strokes += 1
            self.log.append(key)
            self.page.keyboard.press(key)

    def decide(self, *keys: str) -> None:
        """Press keys, the last of which decides something, and wait for the answer."""
        with self.page.expect_response("**/decide"):
            self.press(*keys)
        self.page.locator("#view:not([aria-busy])").wait_for()

    def click(self, what: Locator) -> None:
        """Click on something."""
        self.strokes += 1
        self.log.append(f"click {what}")
        what.click()
