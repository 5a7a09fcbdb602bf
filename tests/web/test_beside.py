"""Work in a process of its own: told the same, told once more where it fails, ended with ours."""

import operator
import os
import signal
import subprocess
import sys
import time
from functools import partial

import pytest

from sixwright.web.beside import Beside

PATIENCE_S = 240


@pytest.fixture
def beside():
    made = Beside()
    yield made
    made.end()


def test_the_work_is_done_elsewhere_and_told_here(beside):
    there = beside(os.getpid)
    assert there != os.getpid()
    assert beside(os.getpid) == there
    assert beside(partial(divmod, 17, 5)) == (3, 2)


@pytest.mark.skipif(not hasattr(os, "getpriority"), reason="this system has no niceness")
def test_the_other_process_steps_back(beside):
    assert beside(partial(os.getpriority, os.PRIO_PROCESS, 0)) > os.getpriority(os.PRIO_PROCESS, 0)


def test_what_fails_there_is_raised_here_with_its_own_place(beside):
    with pytest.raises(ZeroDivisionError) as raised:
        beside(partial(operator.truediv, 1, 0))
    assert raised.traceback[-1].path.name == "beside.py"
    assert beside(partial(operator.add, 1, 1)) == 2


def test_what_cannot_be_sent_is_worked_out_here(beside):
    assert beside(lambda: os.getpid()) == os.getpid()  # noqa: PLW0108  a lambda cannot be sent


def test_a_process_that_was_killed_costs_no_answer(beside):
    there = beside(os.getpid)
    os.kill(there, signal.SIGTERM)
    assert beside(partial(operator.add, 2, 2)) == 4
    assert beside(os.getpid) not in (there, os.getpid())


def gone(process: int) -> bool:
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return True
    return False


@pytest.mark.skipif(sys.platform == "win32", reason="asks after processes by signal 0")
@pytest.mark.parametrize("how", [signal.SIGKILL, signal.SIGTERM, signal.SIGINT])
def test_it_ends_with_the_process_that_began_it(how):
    code = (
        "import os, time\n"
        "from sixwright.web.beside import Beside\n"
        "beside = Beside()\n"
        "print(beside(os.getpid), flush=True)\n"
        "time.sleep(60)\n"
    )
    with subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE,
                          stderr=subprocess.DEVNULL, text=True) as ours:  # fmt: skip
        there = int(ours.stdout.readline())
        assert not gone(there)
        ours.send_signal(how)
        ours.wait(PATIENCE_S)
    end = time.monotonic() + PATIENCE_S
    while not gone(there) and time.monotonic() < end:
        time.sleep(0.05)
    assert gone(there)
