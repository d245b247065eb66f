"""One process that loads or flies case after case, each within limits, and tells a line a case."""

from __future__ import annotations

import json
import resource
import signal
import sys
import tempfile
import traceback
import warnings
from pathlib import Path
from types import FrameType

from tests.hostile.files import ROOT
from tests.hostile.flights import fly, with_remedies
from tests.hostile.loads import load

SECONDS = 20.0  # of this process, so that other work on the machine does not count
FLOWN_AGAIN = 6  # remedies are some fifty flights more
MEGABYTES = 2000


class TooSlow(BaseException):
    """Not an Exception, so that nothing on the way takes it for one of its own."""


def main(kind: str, first: int, last: int) -> None:
    """Run the seeds from `first` up to `last`."""
    warnings.simplefilter("error")
    signal.signal(signal.SIGPROF, _stop)
    _, most = resource.getrlimit(resource.RLIMIT_DATA)
    resource.setrlimit(resource.RLIMIT_DATA, (MEGABYTES * 1_000_000, most))
    with tempfile.TemporaryDirectory() as folder:
        for seed in range(first, last):
            print(
                json.dumps({"seed": seed, "answer": _answer(kind, seed, Path(folder))}), flush=True
            )


def _answer(kind: str, seed: int, folder: Path) -> str:
    """Return "accepted", "refused", or what went wrong and where."""
    many = kind == "flights" and with_remedies(seed)
    seconds = SECONDS * (FLOWN_AGAIN if many else 1)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        done = load(seed, folder) if kind == "loads" else fly(seed)
    except TooSlow:
        return f"no answer in {seconds:.0f} s"
    except MemoryError:
        return f"more than {MEGABYTES} MB"
    except Exception as error:
        return f"{type(error).__name__} at {_where(error)}: {str(error)[:200]}"
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
    return "refused" if done is None else "accepted"


def _where(error: Exception) -> str:
    frames = traceback.extract_tb(error.__traceback__)
    own = [frame for frame in frames if frame.filename.startswith(str(ROOT))]
    last = (own or list(frames))[-1]
    return f"{Path(last.filename).name}:{last.lineno}"


def _stop(signum: int, frame: FrameType | None) -> None:
    raise TooSlow


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]), int(sys.argv[3]))
