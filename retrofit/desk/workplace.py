"""What every part of the window works with: the open plan, the catalogue, units and jobs."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QObject, Signal

from catalog.errors import UserError
from retrofit.desk.catalogue.shelves import Shelves
from retrofit.desk.edits import Area, Edit
from retrofit.desk.jobs import Executor
from retrofit.desk.reader import Reader
from retrofit.desk.session import Change, Session, View
from retrofit.desk.stock import Stock
from retrofit.plan.assess import Assessment, assess, at_supply
from retrofit.plan.document import Plan


@dataclass(frozen=True, eq=False)
class Trial:
    """What is looked at without being in the plan.

    Attributes
    ----------
    assessment : Assessment
        What it would do.
    words : str
        What it is.
    """

    assessment: Assessment
    words: str


class Workplace(QObject):
    """The open plan and the means to work on it.

    Parameters
    ----------
    session : Session
        The open plan.
    reader : Reader
        Sentences and units.
    stock : Stock
        The parts that can be chosen from.
    executor : Executor
        Runs long work.
    """

    changed = Signal(object)
    """A Change of the plan: whoever shows one of its areas reads again."""

    opened = Signal()
    """Another plan is open: what was typed for the one before and not taken is void."""

    tried = Signal()
    """Another supply or pick is tried on the dial, or none any more; the plan has not changed."""

    step_wanted = Signal(str)
    """A step or page is wanted, by its key."""

    field_wanted = Signal(str, str)
    """A field is wanted, by its step and its name."""

    settled = Signal()
    """Numbers that take a while are in the assessment now; the plan has not changed."""

    def __init__(
        self,
        session: Session,
        reader: Reader,
        stock: Stock,
        executor: Executor,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self.reader = reader
        self.executor = executor
        self.stock = stock
        self.shelves = Shelves(stock, executor, reader, self)
        self._session = session
        self._volts: float | None = None
        self._trial: Trial | None = None
        self._at_other: tuple[int, float, Assessment, Assessment] | None = None
        self._stop = session.listen(self._tell)

    @property
    def session(self) -> Session:
        """The open plan."""
        return self._session

    @property
    def view(self) -> View:
        """The plan as it is now, and the pairing that is shown."""
        return self._session.view

    def assessment(self) -> Assessment:
        """All that follows from the pairing that is shown."""
        return self._session.assessment()

    def shown(self) -> Assessment:
        """What the dial and the chart show: what `looked_at` is, at the supply that is tried."""
        found = self.looked_at()
        if self._volts is None:
            return found
        if self._at_other is None or self._at_other[:2] != (id(found), self._volts):
            self._at_other = (id(found), self._volts, found, at_supply(found, self._volts))
        return self._at_other[3]

    @property
    def trial(self) -> Trial | None:
        """What is tried on the dial without being in the plan; None for nothing."""
        return self._trial

    @property
    def tried_volts(self) -> float | None:
        """The supply that is tried on the dial [V]; None: the plan's own."""
        return self._volts

    def looked_at(self) -> Assessment:
        """What the checks are shown of: the pairing of the plan, or what is tried instead."""
        return self.assessment() if self._trial is None else self._trial.assessment

    def try_plan(self, plan: Plan | None, words: str = "") -> None:
        """Show what the pairing would do as it is in another plan; None: as it is, again."""
        if plan is None and self._trial is None:
            return
        trial = None if plan is None else Trial(assess(plan, self.view.label), words)
        self._trial = trial
        self.tried.emit()

    def try_supply(self, volts: float | None) -> None:
        """Show what the needle does at another supply [V]; None: at the plan's own again."""
        if volts != self._volts:
            self._volts = volts
            self.tried.emit()

    def settle(self) -> None:
        """Take numbers that took a while into the assessment, and say so."""
        self._session.look_again()
        self.settled.emit()

    def attempt(self, edit: Edit, *, more: bool = False) -> str:
        """Make an edit; return the sentence that says why not, empty when it is made.

        Parameters
        ----------
        edit : Edit
            What to do.
        more : bool
            Whether more of the same follows (an arrow key held down), all one step of undo.
        """
        try:
            self._session.do(edit)
        except UserError as error:
            return self.reader.error(error)
        if not more:
            self._session.end_step()
        return ""

    def use(self, session: Session) -> Session:
        """Work on another plan from now on; return the old session, which is not closed."""
        before, old = self._session.view, self._session
        self._volts = self._trial = None
        self._stop()
        self._session = session
        self._stop = session.listen(self._tell)
        self.opened.emit()
        self.changed.emit(Change(before, session.view, frozenset(Area)))
        return old

    def close(self) -> None:
        """Let the plan go and stop all work."""
        self._stop()
        self.executor.close()
        self.shelves.finish()
        self.stock.close()
        self._session.close()

    def _tell(self, change: Change) -> None:
        self._volts = self._trial = None
        self.changed.emit(change)
