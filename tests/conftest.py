"""Nothing that a test computes is kept in the user's own cache directory, or for the next run."""

import os

import pytest


@pytest.fixture(scope="session", autouse=True)
def cache_of_the_tests(tmp_path_factory):
    """One cache for all tests of a run: the demo's heads are solved once."""
    kept = os.environ.get("SIXWRIGHT_CACHE")
    of_this_process = tmp_path_factory.getbasetemp()
    shared = of_this_process.parent if "PYTEST_XDIST_WORKER" in os.environ else of_this_process
    os.environ["SIXWRIGHT_CACHE"] = str(shared / "cache")
    yield
    os.environ.pop("SIXWRIGHT_CACHE", None)
    if kept is not None:
        os.environ["SIXWRIGHT_CACHE"] = kept
