"""What all tests share: one thread for linear algebra, a cache of their own, and the shipped rulebase."""

from __future__ import annotations

import os
import tempfile

import pytest

# Before numpy is imported: the tests are to run on one core.
for _threads in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(_threads, "1")
# The parsed rulebase is kept beside the user's caches; a test never reads or writes those of the person.
_CACHE = tempfile.TemporaryDirectory(prefix="prep-advisor-tests-")
os.environ["XDG_CACHE_HOME"] = _CACHE.name
# Nor does a house file of whoever runs the tests tighten a limit.
os.environ["XDG_CONFIG_HOME"] = _CACHE.name


@pytest.fixture(scope="session")
def rulebase():
    from advisor.knowledge import load_rulebase

    return load_rulebase()


@pytest.fixture(scope="session")
def road(rulebase):
    """Run a plan file's text down the whole road: reading, completing, walking, inferring."""
    from datetime import UTC, datetime

    from advisor.case.read_plan import read_plan
    from advisor.course import course_facts
    from advisor.infer import infer

    def run(text):
        case = read_plan(text, rulebase, datetime(2026, 11, 25, 12, tzinfo=UTC).replace(tzinfo=None))
        computed = course_facts(case, rulebase)
        return infer(rulebase, computed.facts, computed.case.system)

    return run
