"""A running program over the wash whose own question has a wrong key."""

from dataclasses import replace

from tests.acts.certified import CABINET
from tests.acts.mended import Mended
from tests.web.exam_house import make_exam_house
from trainer.acts.sites import save_sheet
from trainer.sites.reading import demo_sheet, demo_text


def make_mended_house(url):
    """The house and its wash; both have one clock from then on, the house's."""
    made = make_exam_house(url)
    wash = Mended(made.cast, made.clock(), made.house.key_for("instances"))
    for site in (made.cast.site, made.cast.other_site):
        save_sheet(
            made.cast.database, site_id=site, by=made.cast.tom, sheet=demo_sheet(), text=demo_text(), now=wash.tick()
        )  # fmt: skip
    made.house = replace(made.house, bank=wash.bank, schemes={CABINET.id: wash.scheme})
    made.app.extensions["stringline"] = made.house
    return made, wash


def on_time(made, wash):
    """The pages' clock is where the wash is."""
    made.clock.moment = wash.now
    return made
