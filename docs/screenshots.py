"""Make the README's screenshots again: the demo wash in Chromium, on a phone's window.

Run it from the top of the repository: `.venv/bin/python docs/screenshots.py`.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
import threading
from datetime import UTC, datetime
from pathlib import Path

import waitress
from playwright.sync_api import Page, sync_playwright

from trainer import demo
from trainer.config import Config
from trainer.records.database import Database
from trainer.records.migrate import upgrade
from trainer.web.app import create_app
from trainer.web.open_house import open_house

PICTURES = Path(__file__).parent / "pictures"
PHONE = {"width": 390, "height": 844}
ARGUMENTS = ["--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking",
             "--disable-component-update", "--disable-sync"]  # fmt: skip


def serve(folder: Path) -> str:
    """Build the demo in a folder and serve it; gives the address."""
    config = Config(
        data_folder=folder, database_url=f"sqlite:///{folder / 'demo.sqlite3'}", secret=bytes(range(32)),
        signing_key=bytes(range(32, 64)), host="127.0.0.1", port=0, https=False, proxies=0,
    )  # fmt: skip
    database = Database(config.database_url)
    upgrade(database)
    database.dispose()
    house = open_house(config, lambda: datetime.now(UTC))
    content = demo.Content(house.bank, house.lessons, house.schemes)
    demo.build(house.database, config, content, house.clock())
    server = waitress.create_server(create_app(house), host="127.0.0.1", port=0)
    threading.Thread(target=server.run, daemon=True).start()
    return f"http://127.0.0.1:{server.effective_port}"


def sign_in(page: Page, address: str, name: str) -> None:
    """Sign in as one of the demo's people."""
    page.goto(f"{address}/sign-in?by=password")
    page.fill("[name=sign_in_name]", name)
    page.fill("[name=password]", demo.PASSWORD)
    with page.expect_navigation():
        page.click("main button.act")


def keep(page: Page, name: str) -> None:
    """One screenshot of what the window shows."""
    page.wait_for_load_state("networkidle")
    page.screenshot(path=PICTURES / f"{name}.png")
    print(PICTURES / f"{name}.png")


def tour(make: object, address: str) -> None:
    """The pages that the README shows."""
    learner, trainer, manager = make(), make(), make()  # type: ignore[operator]
    sign_in(learner, address, "june")
    keep(learner, "today")
    with learner.expect_navigation():
        learner.click("section.next .act")
    keep(learner, "drill")
    learner.goto(f"{address}/today")
    learner.locator(".lessons a").first.click()
    learner.locator("figure").first.scroll_into_view_if_needed()
    keep(learner, "lesson")
    sign_in(trainer, address, "dale")
    keep(trainer, "people")
    sign_in(manager, address, "nora")
    manager.goto(f"{address}/cabinets/1")
    keep(manager, "roster")


def main() -> int:
    """Make them all."""
    program = shutil.which("chromium")
    if program is None:
        print("Chromium is missing: sudo apt install chromium libatomic1", file=sys.stderr)
        return 2
    PICTURES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        address = serve(Path(folder))
        browser = playwright.chromium.launch(executable_path=program, args=ARGUMENTS)
        tour(lambda: browser.new_context(viewport=PHONE, device_scale_factor=1).new_page(), address)
        browser.close()
    return 0


if __name__ == "__main__":
    sys.exit(main())
