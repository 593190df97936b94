"""The way to a certificate, walked on a stage: what the pages show is brought about by the acts themselves."""

import html
import re
from dataclasses import dataclass

from tests.acts.certified import CABINET, Way
from tests.web.stage import Stage
from trainer.records.queries import certifying as queries


@dataclass
class WayOnStage(Way):
    """Each act moves the clock of the pages too."""

    stage: Stage | None = None

    def tick(self):
        self.stage.clock.now = super().tick()
        return self.now

    def by(self, who):
        """A browser of one of the cast."""
        return self.stage.visitor(getattr(self.cast, who) if who else None)

    def evidence(self, person=None):
        with self.cast.database.reading() as db:
            return queries.evidence_of(db, person or self.cast.ana, self.cast.main_cabinet, CABINET.id)

    def certificate(self, person=None):
        with self.cast.database.reading() as db:
            return queries.certificates_of(db, person or self.cast.ana)[0]


def way_on(stage: Stage) -> WayOnStage:
    return WayOnStage(stage.cast, stage.clock.now, stage.house.config.signing_key, stage)


def words(answer) -> str:
    """The text of a page, without its tags."""
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", answer.text)).split())


def hidden(answer, name="form_id") -> str:
    """The value of a hidden field."""
    field = next(tag for tag in re.findall(r"<input[^>]+>", answer.text) if f'name="{name}"' in tag)
    return re.search(r'value="([^"]*)"', field)[1]
