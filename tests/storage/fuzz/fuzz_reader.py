"""One reader against bytes that nobody meant: a process of its own, which may be stopped.

    python fuzz_reader.py READER SECONDS CORPUS

CORPUS is a folder of files to begin with. atheris (libFuzzer for Python) keeps there what reaches
new code; what is found is left as a file beside it, and the process ends with another status
than 0.
"""

import sys
from pathlib import Path

import atheris

# What takes longer than this, or more memory, is found too.
MOST_SECONDS_EACH = 10
MOST_MEGABYTES = 2000

NAME, SECONDS, CORPUS = sys.argv[1], sys.argv[2], Path(sys.argv[3])

OURS = ["sixwright.storage", "sixwright.importer", "sixwright.project", "sixwright.kernel"]
with atheris.instrument_imports(include=[*OURS, "PIL"], enable_loader_override=False):
    if NAME == "still":
        from PIL import Image

        Image.init()  # the readers of all formats
    from storage.fuzz.readers import READERS, line

if __name__ == "__main__":
    line()
    atheris.Setup(
        [
            sys.argv[0],
            f"-max_total_time={SECONDS}",
            f"-timeout={MOST_SECONDS_EACH}",
            f"-rss_limit_mb={MOST_MEGABYTES}",
            "-max_len=8192",
            f"-artifact_prefix={CORPUS.parent}/",
            str(CORPUS),
        ],
        READERS[NAME],
    )
    atheris.Fuzz()
