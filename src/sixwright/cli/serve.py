"""`sixwright serve`: the pages in a browser, on this machine only."""

import os
import socket
import sys
from pathlib import Path

from sixwright.cli.clock import now
from sixwright.kernel.errors import CallError
from sixwright.kernel.protocols import Clock

HOST = "127.0.0.1"


def run_serve(folder: Path, port: int, *, clock: Clock, who: str = "") -> None:
    """Serve a folder's pages until Ctrl-C; a folder with errors shows them as a page.

    Parameters
    ----------
    port
        The one to listen at; 0 takes any.
    clock
        Tells the day that the line is judged on; what is written has the true time.
    who
        The name that the history gives to edits; that of the account where empty.

    Raises
    ------
    CallError
        If there is no such folder, or the port is taken.
    """
    import uvicorn

    from sixwright.web.app import make_app
    from sixwright.web.connections import Connection

    if not folder.is_dir():
        raise CallError(f"{folder} must be the folder of a line; there is no such folder.")
    with _bound(port) as listening:
        address, taken = listening.getsockname()
        sys.stderr.write(f"The pages are at http://{address}:{taken}/ (Ctrl-C stops them).\n")
        sys.stderr.flush()
        app = make_app(folder, clock, now=now, who=who, waits=False)
        config = uvicorn.Config(app, log_level="warning", http=Connection, ws="none")
        uvicorn.Server(config).run(sockets=[listening])


def _bound(port: int) -> socket.socket:
    listening = socket.socket()
    try:
        if os.name == "posix":  # elsewhere it would let two servers share the port
            listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listening.bind((HOST, port))
        listening.listen()  # who comes before the pages are up waits, and is not turned away
    except (OSError, OverflowError) as error:
        listening.close()
        raise CallError(
            f"--port must be one that is free on this machine; {port} is not. Try --port 0."
        ) from error
    return listening
