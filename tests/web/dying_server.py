"""A server of a folder that dies at one step of a write: `dying_server.py FOLDER STEP PORT`.

The step is counted over everything that writing asks of the disk; 0 never comes. Prints its port.
The process ends as if its power were cut: nothing is closed, nothing is cleaned up.
"""

import os
import sys
import threading
from datetime import UTC, datetime
from functools import partial
from pathlib import Path

import uvicorn

from sixwright.storage.files.disk import RealDisk
from sixwright.web import routes
from sixwright.web.app import make_app

CHANGING = ("write", "append", "truncate", "flush", "replace", "remove", "mkdir")


def dying_disk(step: int) -> RealDisk:
    left = [step]

    class Dying(RealDisk):
        """Ends the process before the step is done, or, for a file, when half of it is."""

    def counted(name):
        whole = getattr(RealDisk, name)

        def method(self, *given):
            left[0] -= 1
            if left[0] == 0:
                if name in {"write", "append"}:
                    path, content = given
                    whole(self, path, content[: len(content) // 2])
                os._exit(9)
            return whole(self, *given)

        return method

    for name in CHANGING:
        setattr(Dying, name, counted(name))
    return Dying()


def main(folder: str, step: str, port: str) -> None:
    routes.write = partial(routes.write, disk=dying_disk(int(step)))
    app = make_app(Path(folder), lambda: datetime(2026, 9, 14, 9, tzinfo=UTC), who="Ines")
    server = uvicorn.Server(uvicorn.Config(app, port=int(port), log_level="critical"))
    thread = threading.Thread(target=server.run)
    thread.start()
    while not server.started:
        thread.join(0.01)
        if not thread.is_alive():
            sys.exit(f"Port {port} cannot be served.")
    sys.stdout.write(f"{server.servers[0].sockets[0].getsockname()[1]}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main(*sys.argv[1:])
