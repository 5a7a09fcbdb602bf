"""How long the command takes to start and to check the demo, beside general-purpose libraries.

    make bench                       or: python benchmarks/start.py

Each line is a fresh process, run RUNS times in turn with the others after one warm-up, so that all
meet the same machine; the median and the fastest are printed as a table. Nothing here is a test:
a loaded machine makes every line slower alike, and the references say by how much.
"""

import importlib.util
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
LINE = "examples/sluice-keeper"
RUNS = 9
PYTHON = sys.executable
READ_WITH_PANDAS = (
    "import sys, pathlib, pandas\n"
    "for path in pathlib.Path(sys.argv[1]).glob('*.csv'): pandas.read_csv(path, dtype=str)"
)
# Each with the seconds it may take, where a limit was set.
COMMANDS: dict[str, tuple[list[str], float | None]] = {
    "python -c pass": ([PYTHON, "-c", "pass"], None),
    "import numpy": ([PYTHON, "-c", "import numpy"], None),
    "import pandas": ([PYTHON, "-c", "import pandas"], None),
    "pandas reads the demo's tables": ([PYTHON, "-c", READ_WITH_PANDAS, LINE], None),
    "sixwright --help": ([PYTHON, "-m", "sixwright", "--help"], 0.4),
    "sixwright check (the demo)": (
        [PYTHON, "-m", "sixwright", "check", LINE, "--today", "2026-09-14"],
        1.5,
    ),
}


def seconds(command: list[str], environment: dict[str, str]) -> float:
    """Wall time of one run, start of the process to its end."""
    begun = time.perf_counter()
    done = subprocess.run(
        command, cwd=ROOT, env=environment, capture_output=True, text=True, check=False
    )
    taken = time.perf_counter() - begun
    if done.returncode not in (0, 1):
        raise SystemExit(f"{' '.join(command)} ended with {done.returncode}:\n{done.stderr}")
    return taken


def main() -> None:
    """Time every command and print the table."""
    commands = dict(COMMANDS)
    if importlib.util.find_spec("pandas") is None:
        print("pandas is not installed; `make bench` installs it. Its lines are left out.")
        commands = {name: entry for name, entry in commands.items() if "pandas" not in name}
    times: dict[str, list[float]] = {name: [] for name in commands}
    with tempfile.TemporaryDirectory() as cache:
        environment = {**os.environ, "SIXWRIGHT_CACHE": cache}
        for turn in range(RUNS + 1):
            for name, (command, _) in commands.items():
                taken = seconds(command, environment)
                if turn:  # the first turn warms the disk's and our own cache
                    times[name].append(taken)
    print(f"Python {sys.version.split()[0]} on {sys.platform}, {os.cpu_count()} cores, {RUNS} runs")
    print()
    print("| what | median, s | fastest, s | limit, s |")
    print("|---|---|---|---|")
    for name, (_, limit) in commands.items():
        median, fastest = statistics.median(times[name]), min(times[name])
        allowed = "" if limit is None else f"{limit:.1f}"
        print(f"| {name} | {median:.3f} | {fastest:.3f} | {allowed} |")


if __name__ == "__main__":
    main()
