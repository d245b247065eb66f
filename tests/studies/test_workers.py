"""Processes that share flights yield to the one that answers sliders."""

from __future__ import annotations

import os

import pytest

from mplan.studies.workers import YIELDS, shared


def niceness() -> int:
    return os.nice(0)


@pytest.mark.skipif(not hasattr(os, "nice"), reason="no priorities of POSIX here")
def test_shared_work_yields_to_its_caller():
    ((_, found),) = shared(niceness, [()], 1)
    assert found == min(19, os.nice(0) + YIELDS)
