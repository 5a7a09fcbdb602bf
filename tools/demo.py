"""Check the demo line, write its report, and say whether its known verdicts appear.

    python tools/demo.py [--serve]

Exits 0 exactly when every verdict listed in tests/demo/expected/ appears, and nothing else
fails, is doubtful or unchecked; otherwise 1, naming each difference. Of likeness only what fails is
listed: what a dozen stills leave open is no planted fault.
"""

import json
import shutil
import subprocess
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path

from demo_heads import lay

ROOT = Path(__file__).resolve().parent.parent
EXAMPLE = "examples/sluice-keeper"
LINE = "build/demo/checked/sluice-keeper"  # the example, with the meshes of its heads
TODAY = "2026-09-14"
EXPECTED = "tests/demo/expected"  # a file a topic
OUT = "build/demo"
COPY = "build/demo/sluice-keeper"
SIXWRIGHT = [sys.executable, "-m", "sixwright"]
READ = (0, 1)  # exit statuses of a folder that could be read


def verdicts(findings: Sequence[Mapping[str, object]]) -> dict[str, str]:
    """The verdict of each finding, by the finding's id."""
    return {str(finding["id"]): str(finding["verdict"]) for finding in findings}


def differences(expected: Mapping[str, str], found: Mapping[str, str]) -> list[str]:
    """Each place where the verdicts found are not the ones expected, as a sentence."""
    said = [
        f"{id_} should be {verdict}; it is {found.get(id_, 'absent')}."
        for id_, verdict in expected.items()
        if found.get(id_) != verdict
    ]
    unknown = [
        f"{id_} is {verdict}; nothing was expected of it."
        for id_, verdict in found.items()
        if id_ not in expected and verdict != "holds" and not is_left_open(id_, verdict)
    ]
    return said + unknown


def is_left_open(id_: str, verdict: str) -> bool:
    """Whether it is something that the stills do not decide."""
    return id_.startswith("likeness.") and verdict != "fails"


def sixwright(*arguments: str, quiet: bool = False) -> subprocess.CompletedProcess[str]:
    """Run one command of ours on the demo line; stop where the folder could not be read."""
    done = subprocess.run(
        [*SIXWRIGHT, *arguments],
        cwd=ROOT,
        check=False,
        text=True,
        encoding="utf-8",
        stdout=subprocess.PIPE if quiet else None,
    )
    if done.returncode not in READ:
        raise SystemExit(f"“sixwright {' '.join(arguments)}” ended with status {done.returncode}.")
    return done


def compare() -> list[str]:
    """How the demo's verdicts differ from those known."""
    checked = sixwright("check", LINE, "--json", "--today", TODAY, quiet=True)
    files = sorted((ROOT / EXPECTED).glob("*.json"))
    expected = [one for file in files for one in json.loads(file.read_text(encoding="utf-8"))]
    return differences(verdicts(expected), verdicts(json.loads(checked.stdout)["findings"]))


def lay_out() -> None:
    """Copy the example to where it is checked, and its heads beside it."""
    shutil.rmtree(ROOT / LINE, ignore_errors=True)
    shutil.copytree(ROOT / EXAMPLE, ROOT / LINE)
    lay(ROOT / LINE)


def main(arguments: list[str]) -> int:
    """Check, report, compare; 0 where the known verdicts appear."""
    if arguments not in ([], ["--serve"]):
        raise SystemExit(__doc__)
    lay_out()
    sixwright("check", LINE, "--today", TODAY)
    sixwright("report", LINE, "--out", OUT, "--today", TODAY, quiet=True)
    wrong = compare()
    print(flush=True)
    print(f"The report is in {OUT}: report.html to open in a browser, report.pdf to print,")
    print("and contents.html, .pdf and .png, a sheet for buyers.")
    for sentence in wrong:
        print(sentence)
    if wrong:
        print("The demo's known verdicts did not all appear: something is wrong with sixwright.")
        return 1
    print("The demo's known verdicts all appear.")
    if not arguments:
        print("For its pages: make demo SERVE=1, then open the address it prints.", flush=True)
        return 0
    return serve()


def serve() -> int:
    """Keep the pages of a copy of the demo up until they are stopped with Ctrl-C."""
    if not (ROOT / COPY).is_dir():
        shutil.copytree(ROOT / LINE, ROOT / COPY)
    print(f"The pages are of a copy, {COPY}: change what you like in it. Ctrl-C stops them.")
    sys.stdout.flush()
    try:
        subprocess.run([*SIXWRIGHT, "serve", COPY, "--port", "0"], cwd=ROOT, check=False)
    except KeyboardInterrupt:
        print()
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
