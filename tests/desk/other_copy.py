"""Another copy of the program, in a process of its own, that does what a test tells it.

Run as a script it is that copy: one command a line in, one answer a line out.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from catalog.errors import UserError
from retrofit.desk.edits import rename_plan
from retrofit.desk.files import demo_plan, start_session
from retrofit.desk.journal import left_behind
from retrofit.desk.session import Session, open_session

ROOT = Path(__file__).resolve().parents[2]


class OtherCopy:
    """The other copy as a test drives it; each call waits for the answer."""

    def __init__(self, process: subprocess.Popen[str]) -> None:
        self.process = process

    @property
    def number(self) -> int:
        return self.process.pid

    def says(self, *command: str) -> dict[str, Any]:
        """Send a command; return the answer."""
        assert self.process.stdin is not None
        self.process.stdin.write(json.dumps(command) + "\n")
        self.process.stdin.flush()
        return self.heard()

    def heard(self) -> dict[str, Any]:
        assert self.process.stdout is not None
        answer = json.loads(self.process.stdout.readline())
        assert isinstance(answer, dict)
        return answer

    def kill(self) -> None:
        """End it as a crash would: SIGKILL, nothing tidied up."""
        self.process.kill()
        self.process.wait()


@contextmanager
def other_copy(home: Path) -> Iterator[OtherCopy]:
    """Run another copy of the program, whose own folder is `home`."""
    env = {**os.environ, "RETROFIT_HOME": str(home), "PYTHONPATH": str(ROOT)}
    command = [sys.executable, str(Path(__file__))]
    pipe = subprocess.PIPE
    with subprocess.Popen(command, stdin=pipe, stdout=pipe, text=True, env=env) as process:
        yield OtherCopy(process)
        process.kill()


def _obey(session: Session | None, command: str, *words: str) -> Session | None:
    if command == "open":
        return open_session(Path(words[0]))
    if command == "new":
        return start_session(demo_plan())
    if command == "take what is left":
        for journal in left_behind():
            plan = journal.recovered()
            return None if plan is None else Session(plan, journal=journal)
    if session is None:
        return None
    if command == "rename":
        session.do(rename_plan(words[0]))
    elif command == "save":
        session.save()
    elif command == "take over":
        session.take_over()
    elif command == "close":
        session.close()
        return None
    elif command == "rename for ever":
        for number in range(1_000_000):
            session.do(rename_plan(f"{words[0]} {number}"))
            _answer(number=number)
    return session


def _answer(**said: object) -> None:
    print(json.dumps(said), flush=True)


def _run() -> None:
    session: Session | None = None
    for line in sys.stdin:
        refused = ""
        try:
            session = _obey(session, *json.loads(line))
        except UserError as error:
            refused = error.messages[0].key
        if session is None:
            _answer(refused=refused)
        else:
            state = {"name": session.plan.name, "unsaved": session.unsaved}
            _answer(refused=refused, read_only=session.read_only, holder=session.holder, **state)


if __name__ == "__main__":
    _run()
