"""Unsaved work, kept beside the plan after every edit, so that a crash loses nothing.

A journal is itself a plan file, written whole or not at all. Each session writes one of its
own, so that work which a crash left is never written over: it stays until the user has taken
it over or let it go. A plan that was never saved has its journal in the program's own folder.
"""

from __future__ import annotations

import contextlib
import os
import re
import secrets
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

from platformdirs import user_data_dir

from catalog.atomic import save_text
from catalog.errors import UserError, user_error
from retrofit.desk.holding import resolved
from retrofit.desk.processes import birth, runs
from retrofit.plan.document import Plan
from retrofit.plan.file import plan_text, read_plan

_ENDING = ".unsaved"
_NEW = re.compile(rf"new-(?P<process>\d+)-(?P<began>\d*)-[0-9a-f]+{re.escape(_ENDING)}")


@dataclass
class Journal:
    """Where the unsaved work of one plan is kept.

    Attributes
    ----------
    path : Path
        The journal's own file; nobody else writes to it.
    left : list of Path
        What earlier sessions left of the same plan, newest first.
    problem : UserError or None
        Why the last write failed; None while all is well. Work goes on all the same.
    damaged : tuple of UserError
        What `recovered` could not read, a sentence for each; those files stay as they are.
    """

    path: Path
    left: list[Path] = field(default_factory=list)
    problem: UserError | None = field(default=None, init=False)
    damaged: tuple[UserError, ...] = field(default=(), init=False)
    _offered: Path | None = field(default=None, init=False)

    @staticmethod
    def beside(plan_path: Path) -> Journal:
        """Return a new journal of the plan file at `plan_path`, with what was left there."""
        whole = resolved(plan_path)
        name = re.compile(rf"{re.escape(f'.{whole.name}.')}[0-9a-f]+{re.escape(_ENDING)}")
        left = [path for path in _entries(whole.parent) if name.fullmatch(path.name)]
        own = whole.parent / f".{whole.name}.{secrets.token_hex(4)}{_ENDING}"
        return Journal(own, _newest_first(left))

    @staticmethod
    def of_new_plan() -> Journal:
        """Return a journal for a plan that has no file yet."""
        process = os.getpid()
        name = f"new-{process}-{birth(process)}-{secrets.token_hex(4)}{_ENDING}"
        return Journal(journal_folder() / name)

    def keep(self, plan: Plan) -> None:
        """Write the plan as it is now; a failure is noted in `problem`, not raised."""
        try:
            with contextlib.suppress(OSError):
                self.path.parent.mkdir(parents=True, exist_ok=True)
            save_text(self.path, plan_text(plan))
            self.problem = None
        except UserError as error:
            self.problem = error

    def forget(self) -> None:
        """Take the journal's own file away: the work is saved."""
        self.problem = None
        with contextlib.suppress(OSError):
            self.path.unlink()

    def recovered(self, saved: Plan | None = None) -> Plan | None:
        """Return the newest unsaved work that was left behind, None if there is none to read.

        Parameters
        ----------
        saved : Plan, optional
            What is safe in a file; work that says the same is let go.
        """
        damaged = []
        found: Plan | None = None
        for path in tuple(self.left):
            try:
                found = read_plan(path)
            except UserError:
                if path.exists():
                    damaged.append(user_error("journal.damaged", path=str(path)))
                continue
            self._offered = path
            if found != saved:
                break
            found = None
            self.drop()
        self.damaged = tuple(damaged)
        return found

    def drop(self) -> None:
        """Let the work go that `recovered` returned last; what could not be read stays."""
        if self._offered is None:
            return
        with contextlib.suppress(OSError):
            self._offered.unlink()
        self.left.remove(self._offered)
        self._offered = None


def data_folder() -> Path:
    """Return the program's own folder: the one that RETROFIT_HOME names, else the system's."""
    home = os.environ.get("RETROFIT_HOME", "")
    return Path(home) if home else Path(user_data_dir("retrofit", appauthor=False))


def journal_folder() -> Path:
    """Return the folder of journals of plans that were never saved."""
    return data_folder() / "unsaved"


def left_behind() -> tuple[Journal, ...]:
    """Claim the journals of never-saved plans whose program is gone, newest first.

    Each gets a name of this process, so that a copy of the program that starts at the same
    time does not take the same work; what this process does not use is found again after it.
    What cannot be read keeps its name, so that the user finds it where it was said to be.
    """
    left = [path for path in _entries(journal_folder()) if _abandoned(path)]
    claimed = [_claimed(path) for path in _newest_first(left)]
    return tuple(journal for journal in claimed if journal is not None)


def _claimed(path: Path) -> Journal | None:
    own = Journal.of_new_plan().path
    try:
        read_plan(path)
        path.rename(own)
    except UserError:
        return Journal(own, [path]) if path.exists() else None
    except FileNotFoundError:  # another copy was faster
        return None
    except OSError:  # the folder cannot be written: it can be read all the same
        return Journal(own, [path])
    return Journal(own, [own])


def _abandoned(path: Path) -> bool:
    """Return whether a file is a new plan's journal and the program that wrote it is gone."""
    named = _NEW.fullmatch(path.name)
    return named is not None and not runs(int(named["process"]), named["began"])


def _entries(folder: Path) -> list[Path]:
    try:
        return list(folder.iterdir())
    except OSError:
        return []


def _newest_first(paths: Iterable[Path]) -> list[Path]:
    dated = []
    for path in paths:
        with contextlib.suppress(OSError):
            dated.append((path.stat().st_mtime_ns, path))
    return [path for _, path in sorted(dated, reverse=True)]
