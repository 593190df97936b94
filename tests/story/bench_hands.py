"""Hands on a bench: the same act done by pulling, by tapping and typing, or with the keyboard alone."""

import re

from playwright.sync_api import expect

from tests.story.wash import press
from trainer.acts import benches as acts
from trainer.benches.acts import Amount
from trainer.benches.catalogue import benches
from trainer.quantities.units import partner, unit
from trainer.records.queries import benches as queries
from trainer.web.benches import tools

PHONE = {"width": 360, "height": 740}
TABLET = {"width": 820, "height": 1180}
FULL = {"june": "100 of 100 points", "rico": "100 de 100 puntos", "pilar": "100 of 100 points"}
MOST_TABS = 220


class Run:
    """A run of a bench that is open on a page."""

    def __init__(self, wash, page):
        self.wash, self.page = wash, page
        self.id = page.url.rsplit("/", 1)[1]
        kept = self.kept()
        self.bench = benches()[kept.facts.bench]
        self.system = kept.facts.system
        self.task = acts.task_of_run(kept.facts, tools(wash.house))
        self.kinds = {kind.kind: kind for kind in self.bench.kinds(self.task)}

    def kept(self):
        """What the server has of it."""
        with self.wash.house.database.reading() as db:
            return queries.run(db, self.id)

    def number(self) -> int:
        """The number of the next act, as the page has it."""
        return int(self.page.get_attribute("#bench", "data-number"))

    def best(self):
        """The acts that reach all points."""
        return self.bench.best(self.task).acts

    def shown(self, act, field) -> str:
        """A number of an act as its field shows it, in English."""
        factor = partner(unit(field.us), self.system).factor
        return f"{round(act.values[field.name] / factor, 6):g}"

    def fields(self, act):
        """The fields of an act that are not a card."""
        kind = self.kinds[act.kind]
        return [field for field in kind.fields if field.name != kind.cards]

    def button(self, act) -> str:
        """Where the button is that does the act."""
        return f'[id="{self.button_id(act)}"]'

    def button_id(self, act) -> str:
        """Its id."""
        cards = self.kinds[act.kind].cards
        return f"{act.kind}-{cards}-{act.values[cards]}" if cards else f"do-{act.kind}"


def sent(run, what) -> None:
    """Do something that sends an act, and wait until it has arrived and its region stands."""
    before = run.number()
    what()
    run.page.wait_for_function(
        "before => { const b = document.getElementById('bench');"
        " return !b.hasAttribute('aria-busy') && Number(b.dataset.number) > before }",
        arg=before,
        timeout=20_000,
    )


def unfold(run, act) -> None:
    """Open the group of an act as a person does."""
    group = run.page.locator(f"#group-{act.kind}")
    if group.count() and group.get_attribute("open") is None:
        group.locator("summary").click()


def by_tapping(run, act) -> None:
    """Fields first, then a tap on the button."""
    set_fields(run, act)
    sent(run, lambda: run.page.locator(run.button(act)).tap())


def set_fields(run, act) -> None:
    """Plus and minus for a few steps, typing for more; a tap on what is picked."""
    page = run.page
    unfold(run, act)
    for field in run.fields(act):
        if isinstance(field, Amount):
            box = page.locator(f"#{act.kind}-{field.name}")
            wanted = run.shown(act, field)
            factor = partner(unit(field.us), run.system).factor
            steps = round(
                (act.values[field.name] - float(box.input_value().replace(",", ".")) * factor) / field.step
            )
            if 0 < abs(steps) <= 4:
                sign = "1" if steps > 0 else "-1"
                for _ in range(abs(steps)):
                    box.locator(f"xpath=..//button[@data-add='{sign}']").tap()
            elif steps:
                box.fill(wanted)
        else:
            page.locator(f"label:has(#{act.kind}-{field.name}-{act.values[field.name]})").tap()


def by_keyboard(run, act) -> None:
    """Tab to each control; nothing is clicked and nothing is given the focus."""
    page = run.page
    group = page.locator(f"#group-{act.kind}")
    if group.count() and group.get_attribute("open") is None:
        tab_to(
            page,
            f"document.activeElement.closest('#group-{act.kind}') && document.activeElement.matches('summary')",
        )
        page.keyboard.press("Enter")
    for field in run.fields(act):
        if isinstance(field, Amount):
            tab_to(page, f"document.activeElement.id === '{act.kind}-{field.name}'")
            page.keyboard.press("ControlOrMeta+a")
            page.keyboard.type(run.shown(act, field))
        else:
            radio_to(page, act.kind, field, act.values[field.name])
    tab_to(page, f"document.activeElement.id === '{run.button_id(act)}'")
    sent(run, lambda: page.keyboard.press("Enter"))


def radio_to(page, kind, field, value) -> None:
    """Tab into a group of radio buttons and go down it with the arrow until the one that is wanted is picked."""
    tab_to(page, f"document.activeElement.id.startsWith('{kind}-{field.name}-')")
    page.keyboard.press("Space")
    for _ in range(len(field.options) + 1):
        if page.evaluate(f"document.getElementById('{kind}-{field.name}-{value}').checked"):
            return
        page.keyboard.press("ArrowDown")
    raise AssertionError(f"no arrow reaches {kind} {field.name} {value}")


def tab_to(page, there: str) -> None:
    for _ in range(MOST_TABS):
        if page.evaluate(f"Boolean({there})"):
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"no tab reaches {there}")


def by_pulling(run, act) -> None:
    """Pull the handle of a number, carry a card by its grip; what cannot be pulled is tapped."""
    page = run.page
    cards = run.kinds[act.kind].cards
    amounts = [field for field in run.fields(act) if isinstance(field, Amount)]
    handles = [
        (field, handle)
        for field in amounts
        for axis in ("x", "y")
        for handle in page.locator(f'.handle[data-form="{act.kind}"][data-{axis}="{field.name}"]').all()
    ]
    if cards and page.locator("svg .zone").count():
        unfold(run, act)
        sent(run, lambda: carry(run, page.locator(f"{run.button(act)} .grip")))
    elif handles and len(handles) == len(amounts) == len(run.fields(act)):
        pulled = 0
        for field, _ in handles:
            # The region is new after every act: the handle is looked for again.
            pulled += pull(run, act, field)
        if not pulled:
            by_tapping(run, act)
    else:
        by_tapping(run, act)


def pull(run, act, field) -> bool:
    """Pull one handle by as many drawing units as its field's number asks for, if it is not there already."""
    page = run.page
    handle = page.locator(
        f'.handle[data-form="{act.kind}"]:is([data-x="{field.name}"], [data-y="{field.name}"])'
    )
    now = float(page.input_value(f"#{act.kind}-{field.name}").replace(",", "."))
    wanted = float(run.shown(act, field))
    if abs(wanted - now) < 1e-9:
        return False
    to_the_middle(handle)
    per = [float(handle.get_attribute(f"data-per-{axis}") or 0) for axis in ("x", "y")]
    scale = handle.evaluate(
        "h => h.ownerSVGElement.getBoundingClientRect().width / h.ownerSVGElement.viewBox.baseVal.width"
    )
    room = handle.locator(".reach").bounding_box()
    start = room["x"] + room["width"] / 2, room["y"] + room["height"] / 2
    end = [at + (wanted - now) * one * scale for at, one in zip(start, per, strict=True)]
    sent(run, lambda: drag(page, start, end))
    return True


def carry(run, grip) -> None:
    """Carry a card by its grip onto the zone, which comes into sight when the card is lifted."""
    page = run.page
    assert not room_is_drawn(page)
    to_the_middle(grip)
    room = grip.bounding_box()
    start = room["x"] + room["width"] / 2, room["y"] + room["height"] / 2
    touch(page, "touchStart", start)
    touch(page, "touchMove", (start[0] + 6, start[1] - 8))
    touch(page, "touchMove", (start[0] + 12, start[1] - 16))
    page.wait_for_function("() => document.body.classList.contains('carrying')")
    assert room_is_drawn(page)
    zone = page.locator("svg .zone .room").first.bounding_box()
    end = zone["x"] + zone["width"] / 2, zone["y"] + zone["height"] / 2
    touch(page, "touchMove", end)
    touch(page, "touchEnd", None)


def to_the_middle(what) -> None:
    """Scroll as a person does, clear of what stands at the top and at the bottom of the window."""
    what.evaluate("one => one.scrollIntoView({ block: 'center' })")


def room_is_drawn(page) -> bool:
    """Whether the place to drop a card has its outline, as it has while one is carried."""
    return page.locator("svg .zone .room").first.evaluate("room => getComputedStyle(room).stroke !== 'none'")


def drag(page, start, end) -> None:
    """A finger put down, moved in small steps and lifted."""
    touch(page, "touchStart", start)
    for i in range(1, 9):
        touch(
            page,
            "touchMove",
            (start[0] + (end[0] - start[0]) * i / 8, start[1] + (end[1] - start[1]) * i / 8),
        )
    touch(page, "touchEnd", None)


def touch(page, kind, at) -> None:
    session = getattr(page, "_fingers", None)
    if session is None:
        session = page._fingers = page.context.new_cdp_session(page)
    points = [] if at is None else [{"x": at[0], "y": at[1]}]
    session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})


def by_form(run, act) -> None:
    """Without script: fields typed and picked, and the page that follows."""
    for field in run.fields(act):
        if isinstance(field, Amount):
            run.page.fill(f"#{act.kind}-{field.name}", run.shown(act, field))
        else:
            run.page.check(f"#{act.kind}-{field.name}-{act.values[field.name]}")
    press(run.page, run.button(act))


WAYS = {"pulling": by_pulling, "tapping": by_tapping, "keyboard": by_keyboard}


def work_out(run, way, between=lambda act: None, skip=()) -> None:
    """Play the best acts one way, but for those whose places are skipped; `between` is told each that has arrived."""
    for place, act in enumerate(run.best()):
        if place not in skip:
            WAYS[way](run, act)
            between(act)


def start(wash, page, bench, level="1") -> Run:
    """Start a new run from the bench's own page."""
    page.goto(f"{wash.address}/benches/{bench}")
    page.check(f'input[name="level"][value="{level}"]')
    with page.expect_navigation(wait_until="load"):
        page.locator("main button.act").first.click()
    assert re.search(r"/bench/[0-9a-f-]{36}$", page.url)
    return Run(wash, page)


def rolled(wash, page) -> Run:
    """A beam bench on which one vehicle was just rolled past."""
    run = start(wash, page, "beam", level="2")
    number = int(page.get_attribute("#bench", "data-number"))
    page.locator("ul.play button").nth(1).tap()
    # The run may have been open, with drawings of an earlier roll: those of this one come with the next number.
    expect(page.locator("#bench")).to_have_attribute("data-number", str(number + 1))
    expect(page.locator(".runner")).to_be_visible()
    return run
