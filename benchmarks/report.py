"""How long the report takes, beside a browser that prints the same page.

    python benchmarks/report.py

Each line is a fresh process, run RUNS times in turn with the others after one warm-up. The browser
prints report.html, which the first command has just written; it is left out where there is none.
"""

import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
LINE = ROOT / "examples/sluice-keeper"
RUNS = 5
LIMIT_S = 3.0


def commands(out: Path) -> dict[str, list[str]]:
    """What is timed, by name."""
    report = [sys.executable, "-m", "sixwright", "report", str(LINE), "--out", str(out)]
    found = {"sixwright report (the demo, five files)": [*report, "--today", "2026-09-14"]}
    browser = shutil.which("chromium") or shutil.which("chromium-browser")
    if browser is not None:
        page, pdf = (out / "report.html").as_uri(), out / "browser.pdf"
        found["chromium prints report.html (one file)"] = [
            browser, "--headless", "--no-sandbox", "--disable-gpu", f"--print-to-pdf={pdf}", page,
        ]  # fmt: skip
    return found


def seconds(command: list[str]) -> float:
    """Wall time of one run, start of the process to its end."""
    begun = time.perf_counter()
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    taken = time.perf_counter() - begun
    if done.returncode not in (0, 1):
        raise SystemExit(f"{command[0]} ended with {done.returncode}:\n{done.stderr}")
    return taken


def main() -> None:
    """Time both and print the table and the files' sizes."""
    with tempfile.TemporaryDirectory() as place:
        out = Path(place)
        asked = commands(out)
        times: dict[str, list[float]] = {name: [] for name in asked}
        for turn in range(RUNS + 1):
            for name, command in asked.items():
                taken = seconds(command)
                if turn:
                    times[name].append(taken)
        print(f"Asked: all of the report under {LIMIT_S:.1f} s. {RUNS} runs.\n")
        print("| what | median, s | fastest, s |\n|---|---|---|")
        for name, each in times.items():
            print(f"| {name} | {statistics.median(each):.2f} | {min(each):.2f} |")
        print("\n| file | kB |\n|---|---|")
        for path in sorted(out.iterdir()):
            print(f"| {path.name} | {path.stat().st_size / 1000:.0f} |")


if __name__ == "__main__":
    main()
