"""Find a browser for the browser tests, or install Debian's where that is plain to do.

Prints one line, and never fails: tests that need a browser are skipped where there is none.
"""

import os
import shutil
import subprocess
import sys

NAMES = ("chromium", "chromium-browser")
# Without a network, or while another installs, it gives up within minutes.
PATIENCE = (
    *("-o", "Acquire::http::Timeout=30"),
    *("-o", "Acquire::https::Timeout=30"),
    *("-o", "Acquire::Retries=1"),
    *("-o", "DPkg::Lock::Timeout=120"),
)


def found() -> str | None:
    """The browser's path, or None."""
    return next((path for name in NAMES if (path := shutil.which(name))), None)


def can_install() -> bool:
    """Whether Debian's package manager is here and this user may use it."""
    geteuid = getattr(os, "geteuid", None)
    return shutil.which("apt-get") is not None and geteuid is not None and geteuid() == 0


def install() -> None:
    """Install Debian's chromium; its messages are shown only where it fails."""
    environment = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    for step in (["update"], ["install", "--yes", "--no-install-recommends", "chromium"]):
        done = subprocess.run(
            ["apt-get", "-q", *PATIENCE, *step],
            env=environment,
            stdin=subprocess.DEVNULL,
            capture_output=True,
            text=True,
            errors="replace",
            check=False,
        )
        if done.returncode:
            print(done.stdout, done.stderr, file=sys.stderr)
            return


def main() -> None:
    """Say which browser the tests use."""
    if found() is None and can_install():
        print("Installing Debian's chromium for the browser tests.")
        install()
    path = found()
    if path:
        print(f"The browser tests use {path}.")
    else:
        print("The browser tests are skipped: no chromium was found, and it is not installed here.")


if __name__ == "__main__":
    main()
