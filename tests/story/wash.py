"""The demo wash served for real, and hands that fill in its pages as people do."""

import re
import threading
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

import waitress
from axe_playwright_python.sync_playwright import Axe

from trainer import demo
from trainer.acts.exams import paper_of
from trainer.acts.learning import drill_label
from trainer.config import Config
from trainer.exams.paper import instance_of
from trainer.language.draws import draw
from trainer.language.rendering import right_answer
from trainer.records.database import Database
from trainer.records.migrate import upgrade
from trainer.records.queries import exams as exam_queries
from trainer.records.queries import learning as learning_queries
from trainer.records.queries import people
from trainer.sites import demo_sheet, site_values
from trainer.web.app import create_app
from trainer.web.open_house import open_house


@dataclass
class Wash:
    """A running program over the demo."""

    address: str
    house: object
    server: object
    seen: list[str] = field(default_factory=list)

    def look(self, page) -> None:
        """No axe-core violation on this page, in light and in dark."""
        for scheme in ("light", "dark"):
            page.emulate_media(color_scheme=scheme)
            report = Axe().run(page)
            names = [f"{one['id']}: {one['nodes'][0]['html'][:200]}" for one in report.response["violations"]]
            assert not names, f"{page.url} ({scheme}): {names}"
        page.emulate_media(color_scheme="light")
        self.seen.append(page.url.removeprefix(self.address))

    def sign_in(self, page, name, password=demo.PASSWORD) -> None:
        page.goto(f"{self.address}/sign-in")
        page.fill("[name=sign_in_name]", name)
        page.fill("[name=password]", password)
        press(page)

    def drill_instance(self, page):
        """The instance on the page, drawn from the secret as the server draws it."""
        public_id = page.url.rsplit("/", 1)[1]
        with self.house.database.reading() as db:
            shown = learning_queries.drill(db, public_id)
            who = people.member(db, shown.person_id)
        question = self.house.bank.question(shown.question)
        label = drill_label(who.public_id, public_id, question.id, question.version)
        return draw(question, site_values(demo_sheet()), self.house.key_for("instances"), label, shown.system)

    def exam_instance(self, page):
        public_id, number = re.search(r"/exams/([0-9a-f-]{36})/(\d+)", page.url).groups()
        with self.house.database.reading() as db:
            paper = paper_of(exam_queries.sitting(db, public_id))
        slot = next(one for one in paper.form.slots if one.number == int(number))
        return instance_of(paper, slot, self.house.bank.find, self.house.key_for("instances"))


def press(page, target="main button.act") -> None:
    """Tap (a selector or a locator) and wait for the page that follows."""
    found = page.locator(target).first if isinstance(target, str) else target
    with page.expect_navigation(wait_until="load"):
        found.click()


def fill_in(page, instance, answer) -> None:
    """Answer the question on the page by tapping and typing, whatever its kind."""
    kind = instance.question.kind
    if kind == "number":
        page.fill("[name=answer]", answer)
    elif kind == "choice":
        page.check(f'[name=answer][value="{answer}"]')
    elif kind == "several":
        for one in answer:
            page.check(f'[name=answer][value="{one}"]')
    elif kind == "order":
        for place, one in enumerate(answer, 1):
            page.select_option(f'[name="place.{one}"]', label=str(place))
    elif kind == "match":
        for left, right in answer.items():
            page.select_option(f'[name="goes.{left}"]', right)
    else:
        for row, state in answer.items():
            page.check(f'[name="state.{row}"][value="{state}"]')


def answer_right(page, instance, language="en") -> None:
    fill_in(page, instance, right_answer(instance, language))


def demo_config(folder, url) -> Config:
    """The settings of the demo wash, the same in every process that serves it."""
    return Config(
        data_folder=folder, database_url=url, secret=bytes(range(32)),
        signing_key=bytes(range(32, 64)), host="127.0.0.1", port=0, https=False, proxies=0,
    )  # fmt: skip


def serve_demo(folder) -> Wash:
    """Build the demo in a folder and serve it on a free port."""
    config = demo_config(folder, f"sqlite:///{folder / 'demo.sqlite3'}")
    database = Database(config.database_url)
    upgrade(database)
    database.dispose()
    house = open_house(config, lambda: datetime.now(UTC))
    content = demo.Content(house.bank, house.lessons, house.schemes)
    demo.build(house.database, config, content, house.clock())
    server = waitress.create_server(create_app(house), host="127.0.0.1", port=0, threads=4)
    threading.Thread(target=server.run, daemon=True).start()
    return Wash(f"http://127.0.0.1:{server.effective_port}", house, server)


def prepared_learner(wash, name: str) -> None:
    """A learner who has proven everything in practice, made through the acts as the demo's people are."""
    content = demo.Content(wash.house.bank, wash.house.lessons, wash.house.schemes)
    made = demo.Maker(wash.house.database, wash.house.config, content, site_id=1)
    then = datetime.now(UTC) - timedelta(hours=16)
    made.enrol(demo.SignIn(f"{name.title()} Lowell", name, demo.PASSWORD, "", "learner"), then)
    made.prove(name, content.plans(), then)
