"""Run something in a process of its own with limits on processor time and memory, and say how it ended."""

from __future__ import annotations

import os
import pickle
import resource
import sys
import traceback
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

GIGABYTE = 1_000_000_000


@dataclass(frozen=True, kw_only=True)
class Ended:
    """How a forked call ended.

    ``answer`` is what it returned; ``trace`` the exception it let through; ``signal`` what killed it, SIGXCPU where it
    took too long. ``memory`` is how many bytes it came to beyond what this process held, ``seconds`` processor time.
    """

    answer: Any = None
    trace: str = ""
    signal: int = 0
    seconds: float = 0.0
    memory: int = 0


def forked(call: Callable[[], Any], *, seconds: int = 10, memory: int = GIGABYTE) -> Ended:
    """Call something in a forked process, which is killed beyond ``seconds``; beyond ``memory`` it gets no more."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            os.close(reading)
            _limit(seconds, memory)
            before = _memory("VmRSS")
            try:
                answer, trace = call(), ""
            except BaseException:
                answer, trace = None, traceback.format_exc()
            with os.fdopen(writing, "wb") as pipe:
                pickle.dump((answer, trace, max(0, _memory("VmHWM") - before)), pipe)
        finally:
            os._exit(0)  # whatever went wrong: a child that lived on would run the other tests as well
    os.close(writing)
    with os.fdopen(reading, "rb") as pipe:
        data = pipe.read()
    _, status, used = os.wait4(child, 0)
    signal = os.WTERMSIG(status) if os.WIFSIGNALED(status) else 0
    spent = used.ru_utime + used.ru_stime
    if not data:
        return Ended(signal=signal or -1, seconds=spent)
    answer, trace, grown = pickle.loads(data)
    return Ended(answer=answer, trace=trace, signal=signal, seconds=spent, memory=grown)


def _limit(seconds: int, memory: int) -> None:
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds + 1))
    resource.setrlimit(resource.RLIMIT_AS, (_memory("VmSize") + memory,) * 2)
    quiet = os.open(os.devnull, os.O_WRONLY)
    sys.stdout.flush()
    os.dup2(quiet, 2)  # what a compiled library writes as it aborts is in the signal


def _memory(field: str) -> int:
    for line in Path("/proc/self/status").read_text(encoding="ascii").splitlines():
        if line.startswith(f"{field}:"):
            return int(line.split()[1]) * 1024
    return 0
