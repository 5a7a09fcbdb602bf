"""What holds for every test: a cache of their own, no limit of time in a law, no hang for ever."""

import faulthandler
import os
from contextlib import contextmanager, suppress

import pytest
from hypothesis import HealthCheck, settings
from pytest_timeout import _get_item_settings, is_debugging

# How fast a machine is says nothing of a law: an example that takes long is no fault. And the
# same commit gives the same answer: a law's examples are drawn from its name. `make slow` draws
# new ones, which is where a law that was never quite true is found.
settings.register_profile(
    "any machine",
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow],
    print_blob=True,
)
settings.register_profile("search", settings.get_profile("any machine"), derandomize=False)
settings.load_profile("any machine")

STDERR = pytest.StashKey[int]()
# Beyond the timeout of a test, in which it may still fail by itself.
GRACE_S = 60


def pytest_configure(config):
    config.stash[STDERR] = os.dup(2)


def pytest_unconfigure(config):
    os.close(config.stash[STDERR])


@contextmanager
def ended_where_it_hangs(item):
    """End this process where it stands still, and say where.

    pytest-timeout raises in the test. That frees no test that hangs in a library, and its clock
    stops with the first failure, so nothing ends a fixture that waits for a browser which died.
    xdist starts another process in the place of one that ended, and names the test.
    """
    limit = _get_item_settings(item).timeout or 0
    if limit > 0 and not is_debugging():
        out = item.config.stash[STDERR]
        faulthandler.dump_traceback_later(limit + GRACE_S, exit=True, file=out)
    try:
        yield
    finally:
        faulthandler.cancel_dump_traceback_later()


@pytest.hookimpl(wrapper=True, tryfirst=True)
def pytest_runtest_protocol(item):
    with ended_where_it_hangs(item):
        return (yield)


@pytest.hookimpl(wrapper=True, tryfirst=True)
def pytest_runtest_teardown(item):
    with ended_where_it_hangs(item):  # a failure has stopped the clock of the whole
        return (yield)


@pytest.fixture(scope="session", autouse=True)
def cache_of_the_tests(tmp_path_factory):
    """One cache for all tests of a run: the demo's heads are solved once.

    Nothing that a test computes is kept in the user's own cache directory, or for the next run.
    """
    kept = os.environ.get("SIXWRIGHT_CACHE")
    of_this_process = tmp_path_factory.getbasetemp()
    shared = of_this_process.parent if "PYTEST_XDIST_WORKER" in os.environ else of_this_process
    cache = shared / "cache"
    with suppress(FileExistsError):
        cache.mkdir()
        # Else each process would draw a name, and the later one stand in the middle of a test.
        (cache / "writer.txt").write_text("tests", encoding="ascii")
    os.environ["SIXWRIGHT_CACHE"] = str(cache)
    yield
    os.environ.pop("SIXWRIGHT_CACHE", None)
    if kept is not None:
        os.environ["SIXWRIGHT_CACHE"] = kept
