"""The same work for many seeds on both cores, one thread of the numerical libraries each."""

import os
from collections.abc import Callable, Iterable
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from typing import TypeVar

CORES = 2
CHUNK = 4
ONE_THREAD = dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"), "1")

Job = TypeVar("Job")
Done = TypeVar("Done")


def spread(work: Callable[[Job], Done], jobs: Iterable[Job]) -> list[Done]:
    """Return the work done for each job, in their order."""
    os.environ.update(ONE_THREAD)  # read by the libraries when a new process loads them
    with ProcessPoolExecutor(CORES, mp_context=get_context("spawn")) as pool:
        return list(pool.map(work, jobs, chunksize=CHUNK))
