"""Small writes that wait for the disk together: each is on disk before its caller goes on, and fails alone."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from threading import Lock
from typing import Any, TypeVar, cast

from sqlalchemy.orm import Session

T = TypeVar("T")
Work = Callable[[Session], T]
MOST = 32  # in one transaction: nobody waits for more than that


class _Waiting:
    """One write that waits: its work, and how it ended."""

    def __init__(self, work: Work[Any]) -> None:
        self.work = work
        self.result: Any = None
        self.error: BaseException | None = None
        self.done = False


class Together:
    """Writes of one process. Who comes to the turn first takes along whoever waits by then, in one transaction."""

    def __init__(self, turn: Callable[[], AbstractContextManager[None]], open_: Opening) -> None:
        """turn: held by one writer of this process at a time; open_: a writing session that commits at its end."""
        self._turn, self._open = turn, open_
        self._guard = Lock()
        self._waiting: list[_Waiting] = []

    def do(self, work: Work[T]) -> T:
        """Do the work in a transaction; when this returns, it is on disk.

        The work may be done more than once before that, each time on a session that was rolled back: it changes
        nothing but the database.
        """
        mine = _Waiting(work)
        with self._guard:
            self._waiting.append(mine)
        with self._turn():
            while not mine.done:
                self._together(self._next())
        if mine.error is not None:
            raise mine.error
        return cast("T", mine.result)

    def _next(self) -> list[_Waiting]:
        with self._guard:
            taken, self._waiting = self._waiting[:MOST], self._waiting[MOST:]
        return taken

    def _together(self, taken: list[_Waiting]) -> None:
        try:
            with self._open() as session:
                for one in taken:
                    one.result = one.work(session)
        except Exception as error:
            if len(taken) == 1:
                taken[0].error = error
            else:
                # One of them failed and took the rest along; alone, each gets what is its own.
                for one in taken:
                    self._together([one])
        except BaseException as error:
            for one in taken:
                one.error = error
            raise
        finally:
            for one in taken:
                one.done = True


Opening = Callable[[], AbstractContextManager[Session]]
