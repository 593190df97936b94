"""People who send acts to a server that keeps dying: what got no reply goes again as it was."""

import threading
import time
from dataclasses import dataclass

SECONDS_EACH = 4
SECONDS_AT_LEAST = 60
UNHEARD = 0.1  # of the replies: kills alone seldom fall between disk and reply


@dataclass(frozen=True)
class Sent:
    """One act as it is sent, again and again until there is a reply.

    key: how the records name it; the start of it where the server gives the rest
    """

    key: tuple
    browser: object
    path: str
    fields: tuple = ()
    accept: str = "text/html"
    address: str = "127.0.0.1"


class Client:
    """Sends one act after another; a kind of client says which (`plan`) and what a good reply is (`taken`)."""

    def __init__(self, chance):
        self.chance = chance
        self.acknowledged = set()
        self.pending = None
        self.repeats = self.unheard = 0

    def plan(self) -> Sent:
        """The next act."""
        raise NotImplementedError

    def taken(self, sent, reply) -> tuple:
        """The whole key of what was acknowledged; raises AssertionError for a reply that refuses."""
        raise NotImplementedError

    def act(self):
        """Send what waits for its reply, or something new; some replies get lost on the way."""
        if self.pending is None:
            self.pending = self.plan()
        else:
            self.repeats += 1
        sent = self.pending
        reply = sent.browser.post(sent.path, sent.fields, sent.accept, sent.address)
        if self.chance.random() < UNHEARD:
            self.unheard += 1
            return
        key = self.taken(sent, reply)
        assert key not in self.acknowledged, key
        self.acknowledged.add(key)
        self.pending = None

    def finish(self):
        """After the last kill: send what waits for its reply."""
        while self.pending is not None:
            self.act()


class Crowd:
    """Clients in threads of their own, who stand still while the server is looked at."""

    def __init__(self, clients, kills):
        self.clients = clients
        self.broken = []
        self.cut = set()  # acts that were on disk when the kill came before their reply was heard
        self._open, self._over = threading.Event(), threading.Event()
        self._idle = [threading.Event() for _ in clients]
        self._give_up_at = time.monotonic() + SECONDS_AT_LEAST + SECONDS_EACH * kills
        self._threads = [
            threading.Thread(target=self._live, args=pair, daemon=True)
            for pair in zip(clients, self._idle, strict=True)
        ]

    def kill_often(self, lives, kills, chance, check):
        """Kill the server at random moments; after each kill `check` looks at the records, then it begins anew."""
        for thread in self._threads:
            thread.start()
        for _ in range(kills):
            self._open.set()
            self._wait_for(self.acknowledged + chance.randint(1, 9))
            time.sleep(chance.uniform(0, 0.03))
            lives.kill()
            self._settle()
            check()
            lives.begin()
        self._over.set()
        self._open.set()
        for thread in self._threads:
            thread.join(30)
        for one in self.clients:
            one.finish()
        check()

    @property
    def acknowledged(self):
        return sum(len(one.acknowledged) for one in self.clients)

    @property
    def repeats(self):
        return sum(one.repeats for one in self.clients)

    @property
    def unheard(self):
        return sum(one.unheard for one in self.clients)

    def _live(self, one, idle):
        try:
            while not self._over.is_set():
                if not self._open.is_set():
                    idle.set()
                    self._open.wait()
                    idle.clear()
                    continue
                try:
                    one.act()
                except OSError:
                    time.sleep(0.002)
        except BaseException as broken:
            self.broken.append(broken)
            raise

    def _wait_for(self, target):
        self._poll(lambda: self.acknowledged >= target)

    def _settle(self):
        """Nobody sends or hears anything until the crowd is let in again."""
        self._open.clear()
        self._poll(lambda: all(idle.is_set() for idle in self._idle))

    def _poll(self, holds):
        while not holds():
            assert not self.broken, self.broken
            assert time.monotonic() < self._give_up_at, "too slow"
            time.sleep(0.001)
