"""How the environment is made: once, whoever else makes it at the same time."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]

PYTHON = """\
#!/bin/sh
# Stands for a Python: makes an environment whose pip takes a while and writes down that it ran.
case "$*" in
"-m venv --clear "*)
    rm -rf "$4" && mkdir -p "$4/bin"
    printf '#!/bin/sh\\nsleep 0.5; echo installed >>"%s"\\n' "$LOG" >"$4/bin/python"
    chmod +x "$4/bin/python"
    ;;
esac
"""


def test_of_two_first_starts_at_once_one_installs(tmp_path: Path) -> None:
    """The second waits for the first, and finds the environment made; a third has nothing to do."""
    python, lock, log = tmp_path / "python", tmp_path / "lock", tmp_path / "log"
    python.write_text(PYTHON)
    python.chmod(0o755)
    lock.write_text("nothing==1\n")
    command = [str(ROOT / "deploy" / "install"), str(tmp_path / "env"), str(lock)]
    environ = {**os.environ, "PYTHON": str(python), "LOG": str(log)}
    begun = [subprocess.Popen(command, env=environ) for _ in range(2)]
    assert [each.wait(timeout=300) for each in begun] == [0, 0]
    assert log.read_text().split() == ["installed"]
    subprocess.run(command, env=environ, check=True, timeout=300)
    lock.write_text("nothing==2\n")
    subprocess.run(command, env=environ, check=True, timeout=300)
    assert log.read_text().split() == ["installed"] * 2
