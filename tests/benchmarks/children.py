"""Work in a process of its own, measured from inside it.

What a process took at most is VmHWM of its own status (proc(5)): it begins anew when a program is
started. `ru_maxrss` does not: at the fork the child counts what its parent holds, and keeps that
over the start of another program (getrusage(2)), so that it tells of whatever ran before.
"""

import os
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
RUN_AND_TELL = """
import runpy, sys, time
begun, code = time.perf_counter(), 0
sys.argv = sys.argv[1:]
try:
    if sys.argv[0].endswith(".py"):
        runpy.run_path(sys.argv[0], run_name="__main__")
    else:
        exec(sys.argv[0], {})
except SystemExit as left:
    code = left.code or 0
seconds, worked = time.perf_counter() - begun, time.process_time()
with open("/proc/self/status") as status:
    peak = next(line.split()[1] for line in status if line.startswith("VmHWM:"))
print("\\n", seconds, worked, peak)
sys.exit(code)
"""


@dataclass(frozen=True)
class Measured:
    """Seconds by the clock on the wall and of the processor, and the most memory it held."""

    seconds: float
    worked: float
    megabytes: float


def measured(*words: object, env: Mapping[str, str] | None = None) -> Measured:
    """Run a script with its words, or a piece of Python, in a process of its own.

    The processor's seconds count from the start of the program, its imports among them. Raises
    CalledProcessError where it fails.
    """
    done = subprocess.run(
        [sys.executable, "-c", RUN_AND_TELL, *map(str, words)],
        cwd=ROOT,
        env={**os.environ, **(env or {})},
        stdout=subprocess.PIPE,
        check=True,
    )
    seconds, worked, peak_kb = done.stdout.decode().splitlines()[-1].split()
    return Measured(float(seconds), float(worked), int(peak_kb) / 1024)
