"""One open plan: its snapshots for undo and redo, its file, and who has to hear of a change.

Knows no Qt. Everything that the window shows is read from here; everything that the user does
to the plan is one ``Edit`` given to `Session.do`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from catalog.errors import UserError, user_error
from catalog.message import Message, message
from retrofit.desk.edits import Area, Edit
from retrofit.desk.history import History, Step, View
from retrofit.desk.holding import Hold, hold, resolved
from retrofit.desk.journal import Journal
from retrofit.plan.assess import Assessment, assess
from retrofit.plan.document import Pairing, Plan
from retrofit.plan.file import read_plan, write_plan

__all__ = ["Change", "Session", "View", "open_session"]


@dataclass(frozen=True)
class Change:
    """What everybody who shows the plan is told.

    Attributes
    ----------
    before, after : View
        What was shown and what is shown now.
    touches : frozenset of Area
        What to read again.
    """

    before: View
    after: View
    touches: frozenset[Area]


Listener = Callable[[Change], None]

_EVERYTHING = frozenset(Area)


class Session:
    """One open plan.

    Parameters
    ----------
    plan : Plan
        What to start with.
    path : Path, optional
        File it was read from.
    journal : Journal, optional
        Where unsaved work is kept; none for tests that need no file.
    held : Hold, optional
        The hold on the file; none for a plan without a file, and for tests.

    Notes
    -----
    Not thread-safe: it belongs to the thread of the window.
    """

    def __init__(
        self,
        plan: Plan,
        path: Path | None = None,
        journal: Journal | None = None,
        held: Hold | None = None,
    ) -> None:
        self._view = View(plan, plan.pairings[0].label)
        self._path = path
        self._journal = journal
        self._hold = held
        self._history = History()
        self._saved: Plan | None = plan if path is not None else None
        # What no journal has to keep: the saved plan, or a new one as it was made. A plan that
        # comes from a journal is nowhere else.
        adopted = path is None and journal is not None and bool(journal.left)
        self._settled: Plan | None = None if adopted else plan
        self._assessed: Assessment | None = None
        self._listeners: list[Listener] = []

    # --- what is shown ---------------------------------------------------------------------

    @property
    def view(self) -> View:
        """The plan and the pairing that is shown."""
        return self._view

    @property
    def plan(self) -> Plan:
        """The plan as it is now."""
        return self._view.plan

    @property
    def pairing(self) -> Pairing:
        """The pairing that is shown."""
        return self._view.pairing

    @property
    def path(self) -> Path | None:
        """File of the plan, None while it was never saved."""
        return self._path

    @property
    def read_only(self) -> bool:
        """Whether another copy of the program holds the file, so that nothing may change."""
        return self._hold is not None and not self._hold.ours

    @property
    def holder(self) -> str:
        """Who holds the file when it is not we."""
        return "" if self._hold is None or self._hold.ours else self._hold.holder

    @property
    def unsaved(self) -> bool:
        """Whether the plan differs from its file."""
        return self._saved != self.plan

    def assessment(self) -> Assessment:
        """Assess the pairing that is shown."""
        kept = self._assessed
        if kept is None or kept.plan is not self.plan or kept.pairing.label != self._view.label:
            kept = self._assessed = assess(self.plan, self._view.label)
        return kept

    def look_again(self) -> None:
        """Assess anew when next asked: numbers that take a while have arrived."""
        self._assessed = None

    def listen(self, listener: Listener) -> Callable[[], None]:
        """Call `listener` after each change; the returned function ends that."""
        self._listeners.append(listener)

        def stop() -> None:
            if listener in self._listeners:
                self._listeners.remove(listener)

        return stop

    # --- edits -----------------------------------------------------------------------------

    def do(self, edit: Edit) -> bool:
        """Make an edit; return whether it changed anything.

        Raises
        ------
        UserError
            For bad input, a read-only plan, or one that another copy of the program has taken
            over; nothing has changed then.
        """
        self._refuse_read_only()
        before = self._view
        plan = edit.change(before.plan)
        if plan == before.plan:
            return False
        label = before.label if edit.show is None else edit.show
        after = View(plan, plan.pairing(label).label)
        self._history.add(Step(edit.label, before, after, edit.touches, edit.merge), self._saved)
        self._show(after, edit.touches)
        return True

    def end_step(self) -> None:
        """Say that typing or dragging in one field is over: the next edit is a step of its own."""
        self._history.end_step()

    def show_pairing(self, label: str) -> None:
        """Show another pairing; no edit, so nothing to undo.

        Raises
        ------
        UserError
            When no pairing has that label.
        """
        self.end_step()
        after = View(self.plan, self.plan.pairing(label).label)
        if after.label != self._view.label:
            self._show(after, frozenset())

    @property
    def undo_label(self) -> Message | None:
        """What undo would take back, None if there is nothing."""
        return self._history.undo_label

    @property
    def redo_label(self) -> Message | None:
        """What redo would do again, None if there is nothing."""
        return self._history.redo_label

    def undo(self) -> bool:
        """Take the last step back; return whether there was one."""
        step = None if self._taken_over() else self._history.back()
        if step is not None:
            self._show(step.before, step.touches)
        return step is not None

    def redo(self) -> bool:
        """Do the next step again; return whether there was one."""
        step = None if self._taken_over() else self._history.again()
        if step is not None:
            self._show(step.after, step.touches)
        return step is not None

    def _show(self, after: View, touches: frozenset[Area]) -> None:
        before, self._view = self._view, after
        if after.label != before.label:
            touches |= _EVERYTHING - {Area.DOCUMENT}
        if after.plan is not before.plan:
            self._keep()
        self._tell(Change(before, after, touches))

    def _tell(self, change: Change) -> None:
        for listener in tuple(self._listeners):
            listener(change)

    # --- who may write ---------------------------------------------------------------------

    def _refuse_read_only(self) -> None:
        if not self._taken_over():
            return
        if self.unsaved:
            raise user_error("session.taken_over", path=str(self._path))
        raise user_error("session.read_only", holder=self.holder)

    def _taken_over(self) -> bool:
        """Return whether the plan is read-only, after a look whether it has become so."""
        if self._hold is None or not self._hold.lost():
            return self.read_only
        who = self._hold.holder_now()
        again = self._held_again() if not who else None
        self._hold = again or Hold(self._hold.path, False, who)
        if again is None:
            self._tell(Change(self._view, self._view, frozenset({Area.DOCUMENT})))
        return self.read_only

    def _held_again(self) -> Hold | None:
        """Hold the file once more where nobody does and nobody has changed it, else None."""
        if self._path is None:
            return None
        held = hold(self._path)
        try:
            if held.ours and read_plan(self._path) == self._saved:
                return held
        except UserError:
            pass
        held.release()
        return None

    def take_over(self) -> None:
        """Take the file from the other copy of the program; its plan becomes read-only there.

        The file is read again, for the other copy may have saved since. Unsaved work of either
        copy stays in its journal: see `left_behind`.

        Raises
        ------
        UserError
            When the file cannot be read or held, or unsaved work is nowhere but here.
        """
        if self._path is None or not self._taken_over():
            return
        problem = self.try_again()
        if problem is not None:
            raise problem
        read_plan(self._path)  # what cannot be read is not worth taking
        held = hold(self._path, by_force=True)
        if not held.ours:
            raise user_error("session.held", path=str(self._path), holder=held.holder)
        try:
            plan = read_plan(self._path)
        except UserError:
            held.release()
            raise
        self._hold, self._journal = held, Journal.beside(self._path)
        self._saved = self._settled = plan
        self._history.clear()
        self._show(View(plan, self._label_in(plan)), _EVERYTHING)

    def _label_in(self, plan: Plan) -> str:
        """Return the label that is shown, or the first of a plan that does not have it."""
        labels = [pairing.label for pairing in plan.pairings]
        return self._view.label if self._view.label in labels else labels[0]

    # --- files -----------------------------------------------------------------------------

    def save(self) -> None:
        """Save to the plan's own file.

        Raises
        ------
        UserError
            When there is no file yet, another copy holds it or has taken it over, or it cannot
            be written; the unsaved work stays in the journal.
        """
        if self._path is None:
            raise user_error("session.no_file")
        self._refuse_read_only()
        write_plan(self._path, self.plan)
        self._saved = self._settled = self.plan
        self.end_step()
        if self._journal is not None:
            self._journal.forget()

    def save_as(self, path: Path) -> None:
        """Save to another file, which becomes the plan's own.

        Raises
        ------
        UserError
            When another copy of the program holds that file, or it cannot be written.
        """
        if self._path is not None and resolved(path) == resolved(self._path):
            self.save()
            return
        held = hold(path)
        if not held.ours:
            raise user_error("session.held", path=str(path), holder=held.holder)
        try:
            write_plan(path, self.plan)
        except BaseException:
            held.release()
            raise
        old_journal, old_hold = self._journal, self._hold
        self._path, self._hold, self._journal = path.absolute(), held, Journal.beside(path)
        self._saved = self._settled = self.plan
        self.end_step()
        if old_journal is not None:
            old_journal.forget()
        if old_hold is not None:
            old_hold.release()

    # --- unsaved work ----------------------------------------------------------------------

    def _keep(self) -> None:
        if self._journal is None:
            return
        if self.plan == self._settled:
            self._journal.forget()
        else:
            self._journal.keep(self.plan)

    def left_behind(self) -> Plan | None:
        """Return unsaved work that a crash left beside the plan, None if there is none.

        Work that says the same as the plan is none.
        """
        if self._journal is None or self.read_only:
            return None
        found = self._journal.recovered(self._saved)
        return None if found == self.plan else found

    @property
    def damaged_work(self) -> tuple[UserError, ...]:
        """What `left_behind` found but could not read, a sentence for each; it is kept."""
        return () if self._journal is None else self._journal.damaged

    def recover(self) -> None:
        """Take over the work that `left_behind` finds; undo goes back to the file's plan.

        Raises
        ------
        UserError
            When another copy of the program has taken the plan over; the work stays.
        """
        found = self.left_behind()
        if found is None or self._journal is None:
            return
        show = self._label_in(found)
        self.do(Edit(message("edit.recover"), lambda _: found, _EVERYTHING, show=show))
        if self._journal.problem is None:
            self._journal.drop()

    def drop_recovery(self) -> None:
        """Let the work go that `left_behind` returned last."""
        if self._journal is not None:
            self._journal.drop()

    @property
    def journal_problem(self) -> UserError | None:
        """Why unsaved work could not be kept last time, None while all is well."""
        return None if self._journal is None else self._journal.problem

    def try_again(self) -> UserError | None:
        """Keep unsaved work that could not be kept last time; return why not, None if it is.

        To be asked before the window closes.
        """
        if self.journal_problem is not None:
            self._keep()
        return self.journal_problem

    @property
    def worth_keeping(self) -> bool:
        """Whether the user has done something here that is in no file."""
        return self.unsaved and self.plan != self._settled

    def discard(self) -> None:
        """Let unsaved work go for good: nothing of it is kept when the session closes."""
        self._settled = self.plan
        if self._journal is not None:
            self._journal.forget()

    def close(self) -> None:
        """Let the file go; unsaved work stays in the journal for the next start."""
        self.try_again()
        if self._journal is not None and self.plan == self._settled:
            self._journal.forget()
        if self._hold is not None:
            self._hold.release()
        self._listeners.clear()


def open_session(path: Path) -> Session:
    """Open a plan file, read-only when another copy of the program holds it.

    Unsaved work of a crashed program is not taken without asking: see `Session.left_behind`.

    Raises
    ------
    UserError
        When the file cannot be read; nothing is held then.
    """
    read_plan(path)  # what cannot be read is not held
    held = hold(path)
    try:
        plan = read_plan(path)  # for another copy may have saved until it was held
    except UserError:
        held.release()
        raise
    return Session(plan, path.absolute(), Journal.beside(path) if held.ours else None, held)
