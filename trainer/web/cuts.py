"""The cut that counts now for a scheme at my site, and who set it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from trainer.acts.panels import read_study
from trainer.exams.panel import Panel, Study, in_force
from trainer.exams.scheme import Scheme
from trainer.records.database import Session
from trainer.records.queries import schemes as queries
from trainer.web.dates import moment_words
from trainer.web.house import me, now
from trainer.web.words import gettext


@dataclass(frozen=True)
class CutNow:
    """The right answers needed now, and the panel that set them; None where the scheme's file did."""

    cut: int
    panel: Panel | None

    @property
    def study(self) -> Study | None:
        """What the panel's last round came to."""
        return read_study(self.panel.result) if self.panel and self.panel.result else None

    @property
    def words(self) -> str:
        """Who set it, for every page that shows a cut."""
        if self.panel is None or self.panel.sealed_at is None:
            return gettext("No panel has set this cut; the exam's file did.")
        return gettext("Set by a panel, sealed %(when)s.") % {"when": moment_words(self.panel.sealed_at)}


def cut_now(db: Session, scheme: Scheme) -> CutNow:
    """The cut that an exam started now would have. One statement."""
    panel = in_force(queries.sealed_panels(db, me().site_id, scheme.id, scheme.version), now())
    return CutNow(scheme.cut if panel is None or panel.cut is None else panel.cut, panel)


def scheme_now(db: Session, scheme: Scheme) -> tuple[Scheme, CutNow]:
    """The scheme with the cut that counts now."""
    standing = cut_now(db, scheme)
    return replace(scheme, cut=standing.cut), standing
