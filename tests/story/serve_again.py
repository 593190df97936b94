"""Serves the demo wash over a database that stands, in a process of its own, so that a test may kill it.

Run as `python -m tests.story.serve_again FOLDER URL PORT`; it says its port when it listens.
"""

import sys
from datetime import UTC, datetime
from pathlib import Path

import waitress

from tests.story.wash import demo_config
from trainer.web.app import create_app
from trainer.web.open_house import open_house


def main() -> None:
    folder, url, port = sys.argv[1:]
    house = open_house(demo_config(Path(folder), url), lambda: datetime.now(UTC))
    server = waitress.create_server(create_app(house), host="127.0.0.1", port=int(port), threads=4)
    print(server.effective_port, flush=True)
    server.run()


if __name__ == "__main__":
    main()
