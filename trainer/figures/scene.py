"""A scene: a drawing of facts that are more than a few numbers, such as every beam across one bay."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from trainer.figures.given import Description, Given

if TYPE_CHECKING:
    from trainer.figures.paper import Paper


class Scene(Protocol):
    """A frozen dataclass of facts that are worked out [SI]: it draws itself 360 units wide, and says itself."""

    @property
    def height(self) -> float:
        """How high a paper the drawing needs at most; what stays empty is cut off."""

    def draw(self, paper: Paper, n: Given) -> None:
        """Draw it; `n` is the reader."""

    def words(self, n: Given) -> Description:
        """The same in words; they load no drawing library."""
