"""Make the README's screenshots again: the demo wash in Chromium, on a phone's window.

Run it from the top of the repository: `.venv/bin/python -m tests.story.screenshots`.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

from tests.fixtures.browser import ARGUMENTS, PHONE
from tests.story.wash import Wash, press, serve_demo

PICTURES = Path(__file__).parents[2] / "docs" / "pictures"


def keep(page: Page, name: str) -> None:
    """One screenshot of what the window shows."""
    page.wait_for_load_state("networkidle")
    page.screenshot(path=PICTURES / f"{name}.png")
    print(PICTURES / f"{name}.png")


def tour(make: Callable[[], Page], wash: Wash) -> None:
    """The pages that the README shows."""
    learner, trainer, manager = make(), make(), make()
    wash.sign_in(learner, "june")
    keep(learner, "today")
    press(learner, "section.next .act")
    keep(learner, "drill")
    learner.goto(f"{wash.address}/today")
    learner.locator(".lessons a").first.click()
    learner.locator("figure").first.scroll_into_view_if_needed()
    keep(learner, "lesson")
    wash.sign_in(trainer, "dale")
    keep(trainer, "people")
    trainer.goto(f"{wash.address}/survey")
    keep(trainer, "survey")
    wash.sign_in(manager, "nora")
    manager.goto(f"{wash.address}/cabinets/1")
    keep(manager, "roster")


def main() -> int:
    """Make them all."""
    program = shutil.which("chromium")
    if program is None:
        print("Chromium is missing: sudo apt install chromium libatomic1", file=sys.stderr)
        return 2
    PICTURES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        wash = serve_demo(Path(folder))
        browser = playwright.chromium.launch(executable_path=program, args=ARGUMENTS)
        tour(lambda: browser.new_context(viewport=PHONE, device_scale_factor=1).new_page(), wash)
        browser.close()
    return 0


if __name__ == "__main__":
    sys.exit(main())
